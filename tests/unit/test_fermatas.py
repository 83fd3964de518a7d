"""A fermata belongs to the moment: every staff has it, in every copy, and it is held in the sound.

Source: common practice; that an unsaid one doubles the end of its note is this project's own choice.
"""

from __future__ import annotations

import re
from fractions import Fraction
from io import BytesIO

import mido
import pytest
from compiling import score_from

from cavata.edition.copies import full_score
from cavata.edition.parts import part_score
from cavata.edition.rehearsal import rehearsal_score
from cavata.edition.short_score import short_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import Leaf, leaves, timed_leaves
from cavata.pipeline import written
from cavata.score.clock import length
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

FORCES = (
    "language 2\nforces\n    flute = flute\n    oboe = oboe\n    cello = cello\n    piano = piano\n"
    "    drum = snare drum\nmovement first\n    tempo 1/4 at 60\n"
)
HELD = (
    "    flute: notes(1/4 D5 E5) -> fermata last, 1/2 rest, notes(1/1 C5)\n"
    "    oboe: notes(1/1 D5), notes(1/1 C5)\n"
    "    cello: notes(1/4 D3 E3 F3 G3), notes(1/1 C3)\n"
    "    piano.right: notes(1/2 C5)\n"
)
"""At the second beat the flute waits: the oboe holds, the cello and a hand play, the others rest."""


def score_of(rows: str, forces: str = FORCES) -> Score:
    return score_from(forces + rows)


def signs(copy: Score) -> list[list[tuple[str, Fraction]]]:
    """For each staff of the page the leaves with a fermata, and where each of them ends."""
    found = []
    movement = written(copy).movements[0]
    for part in movement.parts:
        for staff in part.staves:
            now, row = Fraction(0), []
            for bar, frame in zip(staff.bars, movement.frames, strict=True):
                for voice in bar.voices:
                    for onset, leaf in timed_leaves(voice, now):
                        if "fermata" in leaf.marks.articulations:
                            row.append((_kind(leaf), onset + (frame.duration if leaf.whole_bar else leaf.written)))
                now += frame.duration
            found.append(row)
    return found


def _kind(leaf: Leaf) -> str:
    return "rest" if not leaf.heads else "tied" if leaf.heads[0].tie_begins else "note"


HALF = Fraction(1, 2)


def test_every_staff_of_the_score_has_the_sign_at_one_moment() -> None:
    assert signs(full_score(score_of(HELD))) == [
        [("note", HALF)], [("tied", HALF)], [("note", HALF)], [("note", HALF)], [("rest", 1)], [("rest", 1)],
    ]  # fmt: skip


def test_parts_and_reductions_have_what_the_score_has() -> None:
    score = score_of(HELD)
    whole = signs(full_score(score))
    parts = [row for place in range(len(score.parts)) for row in signs(part_score(score, place))]
    assert parts == whole
    for copy in (short_score(score), rehearsal_score(score, 0)):
        assert all({end for _, end in row} & {HALF, 1} for row in signs(copy))


def test_musicxml_and_the_page_have_one_sign_for_each_staff() -> None:
    page = written(full_score(score_of(HELD)))
    assert musicxml_bytes(page, "first").decode().count("<fermata") == 6
    assert len(re.findall(r"\\fermata\b", lilypond_text(page))) == 6


def test_note_that_would_be_hard_to_read_in_two_is_not_divided() -> None:
    rows = "    flute: notes(1/12 D5 E5 F5) -> fermata 2, 3/4 rest\n    oboe: notes(1/1 D5)\n"
    found = signs(full_score(score_of(rows)))
    assert found[1] == [("note", 1)]


def test_who_rests_through_a_cadenza_waits_for_each_of_its_fermatas() -> None:
    """Common practice: every staff has every fermata, so that nobody goes on too soon."""
    rows = "    flute: notes(1/1 D5)\ncadenza alone\n    flute: notes(1/4 D5 E5 F5) -> fermata 1 3 by 1/4\n"
    page = written(full_score(score_of(rows))).movements[1]
    for part in page.parts[1:]:
        rests = list(leaves(part.staves[0].bars[0].voices[0]))
        assert [(rest.base, rest.marks.articulations) for rest in rests] == [
            (Fraction(1, 4), ("fermata",)), (Fraction(1, 2), ("fermata",)),
        ]  # fmt: skip
        assert not any(rest.heads for rest in rests)


def test_silence_that_musicxml_divides_has_the_sign_at_its_end() -> None:
    """Free time of two wholes is two rests there, and one waits at the end of the second."""
    rows = "    flute: notes(1/1 D5)\ncadenza alone\n    flute: notes(1/1 D5 E5) -> fermata last\n"
    text = musicxml_bytes(written(full_score(score_of(rows))), "alone").decode()
    oboe = text.split("</part>")[1]
    assert re.findall(r"<(rest|fermata)", oboe) == ["rest", "rest", "fermata"]


def test_rest_that_a_row_says_is_divided_where_a_fermata_ends_in_it() -> None:
    """Common practice: the sign stands where the waiting is, not over all of a longer silence."""
    rows = "    flute: notes(1/4 D5 E5 F5 G5) -> fermata 2\n    oboe: 3/4 rest, notes(1/4 D5)\n"
    oboe = written(full_score(score_of(rows))).movements[0].parts[1].staves[0].bars[0].voices[0]
    assert [(leaf.base, leaf.marks.articulations) for leaf in leaves(oboe)] == [
        (Fraction(1, 2), ("fermata",)), (Fraction(1, 4), ()), (Fraction(1, 4), ()),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("dress", "seconds"),
    [("fermata last", 3), ("fermata last by 1/2", 4), ("marked last p", 2)],
)
def test_fermata_is_held_in_the_sound_and_counted(dress: str, seconds: int) -> None:
    """The last quarter takes a second more where nothing is said, else what is said."""
    score = score_of(f"    meter 2/4\n    flute: notes(1/4 D5 E5) -> {dress}\n")
    assert length(score.movements[0]) == seconds
    assert mido.MidiFile(file=BytesIO(midi_bytes(score))).length == pytest.approx(seconds)


def test_what_is_said_of_a_moment_stands_before_what_is_not() -> None:
    rows = "    flute: notes(1/4 D5 E5) -> fermata last\n    oboe: notes(1/2 D5) -> fermata last by 1/8\n"
    assert length(score_of("    meter 2/4\n" + rows).movements[0]) == Fraction(5, 2)
