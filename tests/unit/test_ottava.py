"""Long passages on many ledger lines stand under `8va`; what sounds stays what it was. Source: common practice."""

from __future__ import annotations

import io
import re

import pytest
from compiling import score_from
from music21 import converter

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore, leaves
from cavata.pipeline import written

HIGH = "notes(1/8 E6 F6 G6 A6 B6 C7 B6 A6)"
LOW = "notes(1/8 C3 C2 A1 G1 F1 E1 D1 C1)"


def page(instrument: str, line: str, staff: str = "") -> WrittenScore:
    """The written score of one line."""
    text = f"language 2\nforces\n    part = {instrument}\nmovement one\n    part{staff}: {line}\n"
    return written(score_from(text))


def turns(made: WrittenScore, staff: int = 0) -> list[tuple[str, int]]:
    """The lowest note of each leaf at which the octave changes, and to what; `r` for a rest."""
    bars = made.movements[0].parts[0].staves[staff].bars
    return [
        (str(leaf.heads[0].pitch) if leaf.heads else "r", leaf.ottava)
        for bar in bars for voice in bar.voices for leaf in leaves(voice) if leaf.ottava is not None
    ]  # fmt: skip


def test_high_passage_stands_under_8va_from_its_first_high_note_to_its_last() -> None:
    made = page("violin", f"notes(1/4 C5 E5 G5 C6), {HIGH}, notes(1/4 C6 C5)")
    assert turns(made) == [("E6", 1), ("C6", 0)]
    text = lilypond_text(made)
    assert text.count("\\ottava") == 2
    assert text.index("\\ottava #1") < text.index("e'''8") < text.index("\\ottava #0")


def test_single_high_notes_and_short_figures_stay_on_their_ledger_lines() -> None:
    assert turns(page("violin", "notes(1/4 C5 B6 C5 B6 C5 B6 C5 B6)")) == []
    assert turns(page("violin", "notes(1/8 E6 F6 E6 D6, 1/2 C5)")) == []


def test_rest_within_a_bar_does_not_break_a_passage_and_a_bar_of_rest_does() -> None:
    assert turns(page("piano", f"{HIGH}, 1/4 rest, {HIGH}", ".right")) == [("E6", 1), ("r", 0)]
    assert turns(page("piano", f"{HIGH}, 1 bar rest, {HIGH}", ".right")) == [("E6", 1), ("r", 0), ("E6", 1)]


def test_winds_and_singers_read_ledger_lines() -> None:
    assert turns(page("flute", HIGH)) == []
    assert turns(page("piccolo", HIGH)) == []


def test_low_passage_of_a_keyboard_stands_over_8vb() -> None:
    assert turns(page("piano", f"{LOW}, notes(1/1 C3)", ".left"), 1) == [("A1", -1), ("C3", 0)]
    assert turns(page("bassoon", LOW)) == []


def test_music21_reads_the_same_pitches_under_the_bracket() -> None:
    made = page("violin", HIGH)
    document = musicxml_bytes(made, "one")
    assert document.count(b"octave-shift") == 2 and b'type="down"' in document and b'type="stop"' in document
    parts = converter.parseData(io.BytesIO(document).read().decode(), format="musicxml").parts
    heard = [note.nameWithOctave for note in parts[0].flatten().notes]
    assert heard == ["E6", "F6", "G6", "A6", "B6", "C7", "B6", "A6"]


def test_two_ledger_lines_neither_begin_nor_end_a_passage_but_are_held_by_one() -> None:
    """C6 has two ledger lines above the treble clef, B5 one; C2 has two below the bass clef, D2 one."""
    assert turns(page("violin", "notes(1/8 C6 E6 F6 G6 C6 B6 C7 C6), notes(1/1 C5)")) == [("E6", 1), ("C6", 0)]
    assert turns(page("violin", "notes(1/8 E6 F6 G6 B5 A6 B6 C7 B6), notes(1/1 C5)")) == [("A6", 1), ("C5", 0)]
    low = "notes(1/8 C2 A1 G1 F1 {} E1 D1 C1), notes(1/1 C2)"
    assert turns(page("piano", low.format("C2"), ".left"), 1) == [("A1", -1), ("C2", 0)]
    assert turns(page("piano", low.format("D2"), ".left"), 1) == []


@pytest.mark.parametrize(
    ("line", "stands"),
    [("B6 B6 B6 E6", True), ("B6 B6 A6 E6", False), ("C7 C7 C7 C7", True), ("C8 C8 C8 C5", False)],
    ids=["ten lines", "nine lines", "four notes", "three notes"],
)
def test_passage_has_four_notes_and_ten_lines_beyond_two_for_each(line: str, stands: bool) -> None:
    """B6 has five ledger lines, A6 four, E6 three. How much is enough is this project's own."""
    assert bool(turns(page("violin", f"notes(1/8 {line}), notes(1/2 C5)"))) is stands


def test_musicxml_sets_8va_above_and_8vb_below() -> None:
    """`octave-shift` in MusicXML 4.0: its notes are shown an octave lower under `8va`, so the type is `down`."""
    found = [
        re.findall(r'placement="(\w+)">\s*<direction-type>\s*<octave-shift[^>]*type="(\w+)"', text)
        for text in (
            musicxml_bytes(page("violin", HIGH), "one").decode(),
            musicxml_bytes(page("piano", f"{LOW}, notes(1/1 C3)", ".left"), "one").decode(),
        )
    ]
    assert [sides[0] for sides in found] == [("above", "down"), ("below", "up")]


def test_musicxml_begins_8va_before_the_grace_notes_of_its_first_note() -> None:
    """As the page does: grace notes are set as the note that they lead to. Source: common practice."""
    text = musicxml_bytes(page("violin", f"notes(1/1 C5), {HIGH} -> graced 1 by notes(1/8 D6 E6)"), "one").decode()
    found = re.findall(r"<(octave-shift|grace|note) ", text.replace("<note>", "<note >"))
    assert found[1:7] == ["octave-shift", "note", "grace", "note", "grace", "note"]
