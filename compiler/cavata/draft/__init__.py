"""Pages where there is no LilyPond: drawn by Verovio from our own MusicXML."""
