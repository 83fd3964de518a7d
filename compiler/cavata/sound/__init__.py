"""The score as sound: a Standard MIDI File by mido, and that file played."""
