"""An ossia is on the page and in MusicXML, and nobody plays it.

Sources: the schema of MusicXML 4.0 and its `staff-type`, `staff-details` and `cue`; the parsers of music21 and Verovio;
LilyPond, which draws the staff. None of them is this project's.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import pytest
from compiling import score_from
from musicxml_schema import faults
from test_reading_back import played_by_verovio

from cavata.edition.copies import full_score
from cavata.edition.parts import part_score
from cavata.edition.rehearsal import rehearsal_score
from cavata.edition.short_score import short_score
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.ledger import page_ledger
from cavata.pipeline import compile_script, written
from cavata.score.ledger import Fate, ledger
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

PLAYED = """language 2

forces
    violin   = violin
    clarinet = clarinet
    drum     = snare drum
    piano    = piano

movement first
    meter 3/4
    key D major
    section tide 4 bars
        violin: notes(1/4 D5 E5 F#5) for 4 bars
        clarinet: notes(1/4 A4 B4 C#5) for 4 bars
        drum: (1/4 1/4 1/4) for 4 bars
        piano.right: notes(3/4 D5) for 4 bars
        piano.left: notes(3/4 D3) for 4 bars
"""
OSSIAS = """        violin at bar 2 ossia: notes(1/12 A5 C#6 B5, 1/2 D6 | 3/4 E6) -> slurred 1..4 -> marked p
        clarinet at bar 1 ossia: notes(1/4 C#5 E5 A5) -> graced 2 by notes(1/8 D5)
        drum at bar 4 ossia: (1/8 1/8 1/4 1/4)
        piano.left at bar 3 beat 2 ossia: notes(1/2 A2)
"""


SCORE, WITHOUT = score_from(PLAYED + OSSIAS), score_from(PLAYED)
SCORE_OF_PITCHES = score_from(PLAYED + "".join(row + "\n" for row in OSSIAS.splitlines() if "graced" not in row))
SOUNDING_OSSIAS = {
    (0.75, 81): 1, (0.83, 85): 1, (0.92, 83): 1, (1.0, 86): 1, (1.5, 88): 1, (1.75, 45): 1,
    (2.25, 38): 1, (2.38, 38): 1, (2.5, 38): 1, (2.75, 38): 1,
}  # fmt: skip
"""Onsets in whole notes and keys, counted by hand: bar 2 begins at 3/4."""
COPIES = {"full": full_score(SCORE), "violin": part_score(SCORE, 0), "drum": part_score(SCORE, 2)}


@pytest.mark.parametrize("copy", COPIES.values(), ids=COPIES)
def test_documents_are_valid(copy: Score) -> None:
    assert faults(musicxml_bytes(written(copy), "first")) == []


def test_it_does_not_sound() -> None:
    assert midi_bytes(SCORE) == midi_bytes(WITHOUT)


def test_musicxml_has_a_staff_of_its_type_where_it_is_and_its_notes_are_cues() -> None:
    root = ElementTree.fromstring(musicxml_bytes(written(COPIES["full"]), "first"))
    staves = {1: "1", 2: "1", 3: "1", 4: "2"}
    bars = {1: {2, 3}, 2: {1}, 3: {4}, 4: {3}}
    for number, part in enumerate(root.findall("part"), 1):
        assert part.findtext(".//staff-type") == "ossia"
        shown, there = False, set()
        for place, measure in enumerate(part.findall("measure"), 1):
            for details in measure.iter("staff-details"):
                if details.get("number") == staves[number] and details.get("print-object"):
                    shown = details.get("print-object") == "yes"
            there |= {place} if shown else set()
            for note in measure.findall("note"):
                small = note.findtext("staff") == staves[number] and note.find("rest") is None
                assert (note.find("cue") is not None) == small
                assert not small or shown
        assert there == bars[number]


def test_verovio_reads_every_note_of_it_beside_what_is_played() -> None:
    """It plays cues too, which MusicXML calls silent, and so tells where they stand and what they sound."""
    with_ossias, without = (
        Counter(
            (round(onset, 2), key) for onset, key in played_by_verovio(musicxml_bytes(written(full_score(s)), "first"))
        )
        for s in (SCORE_OF_PITCHES, WITHOUT)
    )
    added = {(onset, key): count for (onset, key), count in (with_ossias - without).items()}
    assert not without - with_ossias
    assert added == SOUNDING_OSSIAS


def test_a_short_score_and_a_rehearsal_copy_leave_it_out() -> None:
    for copy in (short_score(SCORE), rehearsal_score(SCORE, 0)):
        assert b"ossia" not in musicxml_bytes(written(copy), "first")


def test_every_sign_at_its_notes_is_in_the_ledger() -> None:
    found = compile_script(Path("s.cavata"), "s.cavata", text=PLAYED + OSSIAS)
    said = [entry for entry in ledger(SCORE, found.bag) if entry.staff == "ossia"]
    assert sorted((entry.part, entry.kind) for entry in said) == [
        ("clarinet", "grace note"), ("violin", "dynamic"), ("violin", "end of slur"), ("violin", "slur"),
    ]  # fmt: skip
    assert {entry.fate for entry in said} == {Fate.WRITTEN}
    copy = COPIES["full"]
    assert all(entry.fate is not Fate.LOST for entry in page_ledger(copy, written(copy)))
