"""What changed in the music between two versions of a piece."""
