"""Cavata: a plain-text language for music made from names, and its compiler."""

__version__ = "0.1.0"
EDITION = 2
