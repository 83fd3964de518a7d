"""What is played on keys and pedals."""
