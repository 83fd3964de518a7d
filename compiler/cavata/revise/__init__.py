"""A finished piece changed: brought to a length, given to another instrument; each change as rows of the script."""
