"""Looking into names and scores: what a name offers, and where names sound."""
