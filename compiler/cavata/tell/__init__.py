"""Telling a piece to those it honors, to the audience and to the players: timings, index, figures, map and guide."""
