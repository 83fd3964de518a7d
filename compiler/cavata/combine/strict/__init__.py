"""The judge of strict counterpoint in two parts."""
