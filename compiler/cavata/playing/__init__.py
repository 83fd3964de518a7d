"""What players can do: at any time, and in the time that they have."""
