"""From letters to notes: what a cipher is, and how a name is read by one."""
