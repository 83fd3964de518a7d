"""Placing values in time: the score at concert pitch."""
