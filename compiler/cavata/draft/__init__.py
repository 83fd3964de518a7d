"""Pages where there is no LilyPond: drawn by Verovio from our own MusicXML."""


class NotDrawn(Exception):
    """Verovio could not read what it was given."""
