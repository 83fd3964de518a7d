"""Written bars to LilyPond text through Abjad, and from there to pages in locked child processes."""
