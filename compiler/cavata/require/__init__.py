"""What a piece requires of itself, looked at once it is placed."""
