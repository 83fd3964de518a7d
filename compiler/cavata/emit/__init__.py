"""From written bars to what libraries read: LilyPond text by Abjad, MusicXML by music21, MIDI by mido. No decisions."""
