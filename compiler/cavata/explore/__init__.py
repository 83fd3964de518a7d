"""The readings of a name that are at the composer's discretion, and the best of them."""
