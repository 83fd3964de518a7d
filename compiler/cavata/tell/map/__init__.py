"""The map: the whole piece as one picture."""
