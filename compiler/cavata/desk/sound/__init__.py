"""The sound of the page, piece by piece."""
