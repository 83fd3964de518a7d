"""Foreign scores, looked through and read in a child process, as lines of notes."""
