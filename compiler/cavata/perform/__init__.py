"""How the score is played: tempo, loudness and lengths as players shape them, by published rules."""
