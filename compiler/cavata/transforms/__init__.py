"""What a script can do to a value: one file a family, and one table of them all."""
