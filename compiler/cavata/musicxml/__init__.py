"""Written bars to MusicXML 4.0, through music21."""
