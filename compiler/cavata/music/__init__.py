"""The value types: spelled pitch, interval, mode, event, motif, and where each note came from."""
