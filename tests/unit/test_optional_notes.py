"""Optional notes are small on the page and in MusicXML, and sound.

Sources: a note of the size of a cue that is played has `size="cue"` at its type and no `cue` element (MusicXML 4.0,
from memory); small notes for what may be left out are common practice; MIDI is read with mido.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import mido
from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n    a = violin\nmovement first\n    tempo 1/4 at 60\n    a: "


def score(row: str) -> Score:
    return score_from(f"{HEAD}{row}\n")


def sizes(found: Score) -> list[str]:
    root = ElementTree.fromstring(musicxml_bytes(written(found), "first"))
    assert not list(root.iter("cue"))
    return [kind.get("size", "") for kind in root.iter("type")]


def test_every_head_of_an_optional_chord_is_small_and_no_other() -> None:
    assert sizes(score("notes(1/4 C5 chord(D5 F5) E5 F5) -> optional 2")) == ["", "cue", "cue", "", ""]


def test_tied_note_is_small_in_all_its_parts() -> None:
    found = score("notes(1/4 C5, 9/4 D5, 1/2 E5) -> optional 2")
    assert set(sizes(found)[1:-1]) == {"cue"} and len(sizes(found)) > 4
    text = lilypond_text(written(found))
    assert text.count("\\once \\set fontSize = #-3") == len(sizes(found)) - 2


def test_optional_notes_sound_as_others() -> None:
    row = "notes(1/4 C5 D5 E5 F5)"
    assert midi_bytes(score(row)) == midi_bytes(score(f"{row} -> optional 2"))
    tracks = mido.MidiFile(file=BytesIO(midi_bytes(score(f"{row} -> optional")))).tracks
    assert sum(1 for message in tracks[1] if message.type == "note_on" and message.velocity) == 4


def test_row_over_bars_takes_the_notes_of_the_part() -> None:
    found = compile_script(
        Path("x.cavata"), text=f"{HEAD}notes(1/2 C5 D5 E5 F5)\n    a bars 2 to 2: optional\n"
    )
    assert found.score is not None and sizes(found.score) == ["", "", "cue", "cue"]


def test_small_note_with_a_hairpin_of_its_own_keeps_its_length() -> None:
    """What makes it small stands before what ends the hairpin, which holds for the music that follows it directly."""
    text = " ".join(lilypond_text(written(score("notes(1/1 C5) -> optional -> diminuendo p nothing"))).split())
    assert r"\once \set fontSize = #-3 \after 1*7/8 \! c''1" in text
