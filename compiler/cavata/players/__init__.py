"""Looking at the score as players and commissioners would: what it asks of them, and what was required of it."""
