"""Strings that are stopped, bowed and plucked."""
