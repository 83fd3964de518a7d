"""What is struck."""
