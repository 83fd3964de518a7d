"""How the music is laid out on paper."""
