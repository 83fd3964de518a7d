"""What the passes report, and how it is shown."""
