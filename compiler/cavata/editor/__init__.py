"""What an editor is told of a script while it is written: pure answers, and a server that hands them over."""
