"""Written bars to MusicXML 4.0, through music21."""

from cavata.later import load_later

# music21 fetches scores by it, which nothing here does: it takes a quarter of the time in which music21 is loaded.
load_later("requests")
