"""What the compiler knows of instruments: a table in the standard library, read once."""
