"""What names offer, before there is a script."""
