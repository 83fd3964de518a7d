"""Which brackets a rhythm gets. Source of every expectation: common practice, but where it says `choice`."""

from __future__ import annotations

import pytest
from notate_scores import rhythm, written
from test_notate_rhythm import notes, unbeamed

from cavata.notate.written import Leaf, Tuplet

CASES = [
    ("4/4", "1/12 1/12 1/12 2.", "{3:2 8 8 8} 2."),
    ("4/4", "1/6 1/12 2.", "{3:2 4 8} 2."),
    ("4/4", "1/12 1/6 2.", "{3:2 8 4} 2."),
    ("4/4", "1/6 1/6 1/6 2", "{3:2 4 4 4} 2"),
    ("4/4", "1/3 1/3 1/3", "{3:2 2 2 2}"),
    ("4/4", "1/24 1/24 1/24 8 2.", "{3:2 16 16 16} 8 2."),
    ("4/4", "1/12 1/12 1/12 1/12 1/12 1/12 2", "{3:2 8 8 8} {3:2 8 8 8} 2"),
    ("4/4", "1/12 1/24 1/24 1/12 2.", "{3:2 8 16 16 8} 2."),
    ("4/4", "1/24 1/24 1/24 1/24 1/24 1/24 2.", "{6:4 16 16 16 16 16 16} 2."),
    ("4/4", "1/8 3/24 2.", "8 8 2."),
    ("4/4", "1/20 1/20 1/20 1/20 1/20 2.", "{5:4 16 16 16 16 16} 2."),
    ("4/4", "1/10 1/10 1/10 1/10 1/10 2", "{5:4 8 8 8 8 8} 2"),
    ("4/4", "1/10 1/5 1/5 2", "{5:4 8 4 4} 2"),
    ("4/4", "1/28 1/28 1/28 1/28 1/28 1/28 1/28 2.", "{7:4 16 16 16 16 16 16 16} 2."),
    ("4/4", "1/44 1/44 1/44 1/44 1/44 1/44 1/44 1/44 1/44 1/44 1/44 2.", "{11:8" + " 32" * 11 + "} 2."),
    ("3/4", "3/20 3/20 3/20 3/20 3/20", "{5:3 4 4 4 4 4}"),
    ("6/8", "3/16 3/16 4.", "{2:3 8 8} 4."),
    ("6/8", "3/32 3/32 3/32 3/32 4.", "{4:3 8 8 8 8} 4."),
    ("6/8", "3/16 16 8 4.", "8. 16 8 4."),
    ("3/4", "3/16 3/16 4.", "8. 16~ 8 8~ 4"),
    ("6/8", "3/40 3/40 3/40 3/40 3/40 4.", "{5:3 8 8 8 8 8} 4."),
    ("6/8", "3/56 3/56 3/56 3/56 3/56 3/56 3/56 4.", "{7:6 16 16 16 16 16 16 16} 4."),
    ("4/4", "1/12 r1/12 1/12 2.", "{3:2 8 r:8 8} 2."),
    ("4/4", "1/12 r5/12 2", "{3:2 8 r:4} r:4 2"),
    ("4/4", "1/6 r1/6 1/6 2", "{3:2 4 r:4 4} 2"),
    ("4/4", "1/12 1/12 1/3 2", "{3:2 8 8 8~} 4 2"),
    ("4/4", "1/12 1/4 1/6 2", "{3:2 8 4. 4} 2"),
    ("4/4", "r1/6 5/6", "{3:2 r:4 8~} 2."),
    ("4/4", "8 1/12 1/12 1/12 8 2", "8 {3:2 8 8 8} 8 2"),
    ("4/4", "4 8 1/12 1/12 1/12 8 4", "4 8 {3:2 8 16~} {3:2 16 8} 8 4"),
    ("4/4", "2. 1/6 1/6 1/6 2.", "2. {3:2 4 8~} | {3:2 8 4} 2."),
]


@pytest.mark.parametrize(("meter", "line", "expected"), CASES)
def test_simplest_bracket(meter: str, line: str, expected: str) -> None:
    assert unbeamed(rhythm(notes(*line.split()), meters=meter)) == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("1/60 1/60 1/60 1/20 1/20 1/20 1/20 2.", "{5:4 {3:2 32 32 32} 16 16 16 16} 2."),
        ("1/20 1/20 1/60 1/60 1/60 1/20 1/20 2.", "{5:4 16 16 {3:2 32 32 32} 16 16} 2."),
        ("1/60 1/60 1/60 1/60 1/60 1/12 1/12 2.", "{3:2 {5:4 32 32 32 32 32} 8 8} 2."),
        ("1/36 1/36 1/36 1/12 1/12 2.", "{3:2 {3:2 16 16 16} 8 8} 2."),
        ("1/84 1/84 1/84 1/28 1/28 1/28 1/28 1/28 1/28 2.", "{7:4 {3:2 32 32 32} 16 16 16 16 16 16} 2."),
        ("1/60 r1/60 1/60 1/20 r1/10 1/20 2.", "{5:4 {3:2 32 r:32 32} 16 r:8 16} 2."),
    ],
)
def test_tuplet_in_a_tuplet(line: str, expected: str) -> None:
    """The outer bracket is that of the prime with the most boundaries on its grid."""
    assert unbeamed(rhythm(notes(*line.split()))) == expected


def test_equal_notes_stand_under_one_bracket_whatever_their_number() -> None:
    """Choice: nine or fifteen equal notes are told at a glance, brackets inside a bracket are not."""
    assert unbeamed(rhythm(notes(*["1/36"] * 9, "2."))) == "{9:8" + " 32" * 9 + "} 2."
    assert unbeamed(rhythm(notes(*["1/60"] * 15, "2."))) == "{15:8" + " 32" * 15 + "} 2."


def test_tuplet_counts_an_undotted_value() -> None:
    first = written(notes("3/40", "3/40", "3/40", "3/40", "3/40"), meters="6/8").movements[0].parts[0].staves[0].bars[0]
    tuplet = first.voices[0][0]
    assert isinstance(tuplet, Tuplet) and (tuplet.actual, tuplet.normal, tuplet.unit.denominator) == (5, 3, 8)
    assert all(isinstance(leaf, Leaf) for leaf in tuplet.items)
