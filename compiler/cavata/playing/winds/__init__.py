"""What is blown, and what is sung."""
