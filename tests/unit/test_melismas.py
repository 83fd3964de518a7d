"""Slurs over the notes to which one syllable is sung. Source: common practice of vocal music, from memory."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from compiling import clean_score_from
from mido import MidiFile
from musicxml_schema import faults

from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.ledger import ledger_text
from cavata.notate.notate import notate
from cavata.pipeline import compile_script
from cavata.score.ledger import Fate, ledger
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

HEAD = "language 2\nforces\n    singer = soprano\nmovement first\n"


def compiled(rows: str) -> Score:
    return clean_score_from(HEAD + rows)


def slurs(score: Score) -> str:
    """The notes of the first staff with the slurs over them; a dashed one begins with `[`."""
    words = []
    for event in score.movements[0].staves[0][0].voices[0]:
        marks = event.event.marks
        word = str(event.event.heads[0].pitch)
        words.append(("[" if marks.slur_dashed else "(") * marks.slur_begins + word + ")" * marks.slur_ends)
    return " ".join(words)


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ('notes(1/4 C5 D5 E5 F5) -> sung "A-_ men _"', "(C5 D5) (E5 F5)"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O my far lamp"', "C5 D5 E5 F5"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O"', "(C5 D5 E5 F5)"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O" unslurred', "C5 D5 E5 F5"),
        ('notes(1/4 C5 D5 rest E5) -> sung "O _ _"', "(C5 D5) E5"),
        ('notes(1/4 C5 D5 E5 F5) -> slurred -> sung "O _ _ sea"', "(C5 D5 E5 F5)"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O _ sea _" -> sung "far lamp o _"', "[C5 D5) (E5 F5)"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O _ far sea" -> sung "far O _ sea"', "[C5 [D5) E5) F5"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O _ _ sea" -> sung "far O _ sea"', "[C5 D5 E5) F5"),
        ('(notes(1/4 C5 D5) -> slurred) + notes(1/4 E5) -> sung "O _ sea" -> sung "far O _"', "(C5 D5) E5"),
        ('notes(1/4 C5 D5 E5 F5) -> sung "O _ _ sea" -> sung "O _ my sea"', "[C5 D5 E5) F5"),
        ('(notes(1/4 C5 D5) -> slurred) + notes(1/4 E5) -> sung "far O _"', "(C5 D5) E5"),
        ('notes(1/4 C5) -> sung "O", notes(1/4 D5) -> sung "sea"', "C5 D5"),
    ],
)
def test_syllable_over_several_notes_is_slurred(line: str, found: str) -> None:
    assert slurs(compiled(f"    singer: {line}\n")) == found


def test_tied_notes_are_one_note() -> None:
    """A note that goes over a bar line, and one that is divided for a dynamic, are sung as one: no slur."""
    assert slurs(compiled('    singer: notes(1/2. C5, 1/2 D5, 1/2. E5) -> sung "far lamp lit"\n')) == "C5 D5 E5"
    rows = (
        "    section one 2 bars\n        singer: notes(2/1 C5) -> sung \"O\"\n        singer bars 2 to 2: marked f\n"
    )
    assert slurs(compiled(rows)) == "C5 C5"


def test_melisma_is_slurred_in_every_output() -> None:
    score = compiled('    singer: notes(1/4 C5 D5 E5 F5) -> sung "O _ sea _" -> sung "far lamp o _"\n')
    page = notate(score)
    document = musicxml_bytes(page, "first")
    assert faults(document) == []
    found = [(slur.get("type"), slur.get("line-type")) for slur in ElementTree.fromstring(document).iter("slur")]
    assert found == [("start", "dashed"), ("stop", None), ("start", None), ("stop", None)]
    assert lilypond_text(page).count("\\slurDashed") == 1


@pytest.mark.slow
def test_two_verses_whose_melismas_meet_have_both_slurs_in_every_output() -> None:
    score = compiled('    singer: notes(1/4 C5 D5 E5 F5) -> sung "O _ far sea" -> sung "far O _ sea"\n')
    page = notate(score)
    document = musicxml_bytes(page, "first")
    assert faults(document) == []
    found = [(slur.get("type"), slur.get("line-type")) for slur in ElementTree.fromstring(document).iter("slur")]
    assert found == [("start", "dashed"), ("stop", None), ("start", "dashed"), ("stop", None)]
    text = lilypond_text(page)
    assert text.count("\\slurDashed") == 2
    result = engrave(text, frozenset({"pdf"}))
    assert isinstance(result, Engraving) and not result.remarks, result


def test_melisma_is_sung_without_a_gap() -> None:
    """A note under a slur sounds until the next one; one without ends a little before."""

    def gaps(text: str) -> list[int]:
        track = MidiFile(file=BytesIO(midi_bytes(compiled(f"    singer: notes(1/4 C5 D5) -> sung {text}\n")))).tracks[1]
        now, turns = 0, []
        for message in track:
            now += message.time
            if message.type in ("note_on", "note_off"):
                turns.append((now, message.type))
        return [on - off for (off, kind), (on, _) in pairwise(turns) if kind == "note_off"]

    assert gaps('"O _"') == [0]
    assert gaps('"O _" unslurred')[0] > 0


def test_ledger_tells_slurs_that_were_added() -> None:
    score = compiled('    singer: notes(1/4 C5 D5) -> sung "O"\n')
    result = compile_script(Path("x"), "x", text=HEAD + '    singer: notes(1/4 C5 D5) -> sung "O"\n')
    entries = ledger(score, result.bag)
    assert [(e.kind, e.fate) for e in entries if "slur" in e.kind] == [
        ("slur", Fate.ADDED), ("end of slur", Fate.ADDED),
    ]  # fmt: skip
    row = next(line for line in ledger_text(entries, notate(score)).splitlines() if line.startswith("slur"))
    assert row.split() == ["slur", "0", "1", "1"]
