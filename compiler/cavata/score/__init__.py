"""The score: every event at its exact onset, and what can be asked of it: when it is heard, and where it stands."""
