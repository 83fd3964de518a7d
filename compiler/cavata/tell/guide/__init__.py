"""The guide: what is told of a piece, in words, pictures and sounds."""
