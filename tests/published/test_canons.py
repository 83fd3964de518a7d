"""Canons of Palestrina rebuilt from their leader, and equal to the print note for note.

Source: the encodings of Palestrina's masses in the corpus that comes with music21 (kern files from the Humdrum
library): the Gloria of the Missa Ad fugam, whose alto the soprano follows a fourth above after a semibreve,
by degrees and not exactly; the second Agnus of the Missa brevis with two sopranos at the unison; the Benedictus of
the Missa O Rex gloriae with bass and alto at the octave. Tables of invertible counterpoint: common practice (course
notes of Georgetown College, Music 311; teoria.com).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from music21 import corpus

from cavata.music.event import Motif, Texture
from cavata.names.program import Identity
from cavata.pipeline import compile_script

Sounding = list[tuple[Fraction, Fraction, str]]
"""Onset, duration and pitch of every note."""


@lru_cache(maxsize=4)
def printed(work: str) -> Any:
    return corpus.parse(f"palestrina/{work}.krn")


def voice_in_print(work: str, part: int) -> list[tuple[Fraction, Fraction, str | None]]:
    """A voice with ties joined; None for a rest."""
    events = printed(work).parts[part].stripTies().flatten().notesAndRests
    return [
        (
            Fraction(event.offset) / 4,
            Fraction(event.quarterLength) / 4,
            None if event.isRest else event.pitch.nameWithOctave.replace("-", "b"),
        )
        for event in events
    ]


def sounding(voice: list[tuple[Fraction, Fraction, str | None]]) -> Sounding:
    return [(onset, duration, pitch) for onset, duration, pitch in voice if pitch is not None]


def from_first(voice: Sounding, count: int) -> Sounding:
    """So many notes, their onsets counted from the first of them.

    The last one's length is left out: in the print the voices hold their last notes until all have ended.
    """
    counted = [(onset - voice[0][0], duration, pitch) for onset, duration, pitch in voice[:count]]
    return [*counted[:-1], (counted[-1][0], Fraction(0), counted[-1][2])]


def lines_of(script: str, name: str) -> tuple[Motif, ...]:
    compiled = compile_script(Path("canon.cavata"), "canon.cavata", text=script)
    assert not compiled.bag.has_errors, compiled.bag.ordered()
    assert compiled.plan is not None
    value = compiled.plan.values[Identity(compiled.plan.main, name)]
    assert isinstance(value, Texture)
    return value.lines


def played(line: Motif) -> Sounding:
    found, onset = [], Fraction(0)
    for event in line.events:
        found += [(onset, event.duration, str(head.pitch)) for head in event.heads]
        onset += event.duration
    return found


def rebuilt(work: str, leader: int, words: str) -> tuple[Motif, ...]:
    """The canon that the language makes of the printed leader, from its first note to its last."""
    voice = voice_in_print(work, leader)
    while voice[0][2] is None:
        voice = voice[1:]
    notes = ", ".join(f"{duration.numerator}/{duration.denominator} {pitch or 'rest'}" for _, duration, pitch in voice)
    return lines_of(f"language 2\nmotif dux = notes({notes})\nmotif both = canon(dux, {words})\n", "both")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("work", "leader", "follower", "words", "count", "ficta"),
    [
        ("Gloria_00", 1, 0, "at P4 above, after 1/1, in C major", 181, 9),
        ("Agnus_II_11", 0, 1, "at P1, after 4/1", 116, 0),
        ("Benedictus_90_a", 2, 0, "at P8 above, after 4/1", 75, 0),
    ],
)
def test_follower_of_a_printed_canon_comes_from_its_leader(
    work: str, leader: int, follower: int, words: str, count: int, ficta: int
) -> None:
    """All notes of the print; of them `ficta` with a sharp that the editor gave the follower and not the leader."""
    before, after = rebuilt(work, leader, words)
    print_before = sounding(voice_in_print(work, leader))
    print_after = sounding(voice_in_print(work, follower))
    assert len(print_after) >= count
    assert from_first(played(before), len(print_before)) == from_first(print_before, len(print_before))
    entry = print_after[0][0] - print_before[0][0]
    assert played(after)[0][0] == entry
    wrong = [
        (ours, theirs)
        for ours, theirs in zip(from_first(played(after), count), from_first(print_after, count), strict=True)
        if ours != theirs
    ]
    assert len(wrong) == ficta
    for ours, theirs in wrong:
        assert ours[:2] == theirs[:2] and theirs[2] == f"{ours[2][0]}#{ours[2][1:]}"


def test_exact_answer_is_not_the_printed_one() -> None:
    """The Gloria answers by degrees: a fourth above F is B, not B flat."""
    _, after = rebuilt("Gloria_00", 1, "at P4 above, after 1/1")
    ours, theirs = from_first(played(after), 181), from_first(sounding(voice_in_print("Gloria_00", 0)), 181)
    same = [a == b for a, b in zip(ours, theirs, strict=True)]
    assert all(same[:6]) and ours[6][2] == "Bb4" and theirs[6][2] == "B4"
    assert sum(same) == 154


# ---------------------------------------------------------------- invertible counterpoint

def harmonic_sizes(steps_above: str, steps_below: str) -> list[int]:
    """Sizes between the lower and the upper line, in order, after the upper was moved down and the lower up."""
    above = "1/4 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5"
    below = "1/4 " + "C4 " * 12
    first, second = lines_of(
        f"language 2\nmotif high = notes({above})\nmotif low = notes({below})\n"
        f"motif both = together(high -> {steps_above}, low -> {steps_below})\n",
        "both",
    )
    return [
        b.heads[0].pitch.position - a.heads[0].pitch.position + 1
        for a, b in zip(first.events, second.events, strict=True)
    ]


@pytest.mark.parametrize(
    ("upper", "lower", "table"),
    [
        ("step down 7 in C major", "up P1", [8, 7, 6, 5, 4, 3, 2, 1]),
        ("step down 9 in C major", "up P1", [10, 9, 8, 7, 6, 5, 4, 3, 2, 1]),
        ("step down 5 in C major", "step up 4 in C major", [10, 9, 8, 7, 6, 5, 4, 3, 2, 1]),
        ("step down 11 in C major", "up P1", [12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]),
        ("down P8", "up P5", [12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]),
    ],
    ids=["octave", "tenth", "tenth by both", "twelfth", "twelfth by both"],
)
def test_lines_exchanged_make_the_intervals_of_the_table(upper: str, lower: str, table: list[int]) -> None:
    """The interval of inversion is the sum of both lines' shifts: each size becomes what the table says."""
    assert harmonic_sizes(upper, lower)[: len(table)] == table


def test_parallel_thirds_become_octaves_at_the_tenth() -> None:
    high, low = lines_of(
        "language 2\n"
        "motif low = notes(1/4 C4 D4 E4)\n"
        "motif high = low -> step up 2 in C major\n"
        "motif both = together(high -> step down 9 in C major, low)\n",
        "both",
    )
    pairs = zip(high.events, low.events, strict=True)
    assert [(a.heads[0].pitch - b.heads[0].pitch).steps + 1 for b, a in pairs] == [8] * 3
