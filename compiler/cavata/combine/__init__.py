"""Where lines of music go together."""
