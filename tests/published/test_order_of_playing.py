"""Repeats, upbeats, da capo and dal segno are played as another program plays them from the MusicXML file.

Source: `expandRepeats` of music21, which plays out the signs and words of a score; it shares no code with the MIDI
writer. It plays endings wrong where a jump follows, so none stand there. That a repeat goes back before its last bar is
full is common practice.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import mido
import music21
import pytest

from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.pipeline import compile_script
from cavata.sound.midi import midi_bytes

pytestmark = pytest.mark.slow

FORCES = """language 2
motif verse = notes(1/4 A4 | D5 C5 B4 G4 | 1/2. F4)
motif plain = notes(1/4 D4 E4, 1/2 F4)
forces
    flute = flute
movement first
"""
SCRIPTS = {
    "strophe": "    repeated 3 times\n    flute: verse\n",
    "strophes": """
    section one
        repeated
        flute: verse
    section two
        flute: verse -> up M2
    section three
        repeated
        flute: verse -> up P5
    section four
        flute: plain
""",
    "endings after an upbeat": """
    section one 3 bars
        ending 1 bar 2
        ending 2 bar 3
        flute: verse
        flute at bar 3: notes(1/1 G5)
    section two
        flute: plain
""",
    "minuet and trio": """
    section one
        repeated
        flute: verse
    section two
        repeated
        fine
        flute: verse -> up m3
    section trio
        repeated
        da capo al fine
        flute: verse -> up P5
""",
    "dal segno al coda": """
    section opening
        flute: plain
    section strophe
        segno
        flute: plain -> up M2
    section chorus
        repeated
        to coda
        flute: plain -> up M3
    section bridge
        dal segno al coda
        flute: plain -> up M6
    section close
        coda
        flute: plain -> up P8
""",
    "dal segno al fine with upbeats": """
    section opening 2 bars
        flute: plain
    section strophe
        segno
        flute: verse
    section second
        fine
        flute: verse -> up M2
    section third
        dal segno al fine
        flute: verse -> up M3
""",
}  # fmt: skip


@pytest.mark.parametrize("script", SCRIPTS.values(), ids=SCRIPTS)
def test_another_program_plays_the_same_notes_in_the_same_order(script: str) -> None:
    compiled = compile_script(Path("piece.cavata"), "piece.cavata", text=FORCES + script)
    assert compiled.score is not None, compiled.bag.ordered()
    document = musicxml_bytes(notate(compiled.score), "first")
    played = music21.converter.parseData(document, format="musicxml").expandRepeats().parts[0]
    theirs = [note.pitch.midi for note in played.stripTies().flatten().notes]
    file = mido.MidiFile(file=BytesIO(midi_bytes(compiled.score)))
    played_notes = (message for message in mido.merge_tracks(file.tracks) if message.type == "note_on")
    ours = [message.note for message in played_notes if message.velocity]
    assert ours == theirs
