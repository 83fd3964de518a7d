"""How durations and silences are spelled in a meter. Source of every expectation: common practice."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from notate_scores import frames, rhythm, shown, written


def notes(*values: str) -> str:
    """`4 r8` as a line of C4 and rests."""
    return " ".join(f"r:{value[1:]}" if value.startswith("r") else f"C4:{value}" for value in values)


NOTES = [
    ("4/4", "1", "1"),
    ("4/4", "4 2 4", "4 2 4"),
    ("4/4", "4 2.", "4 2."),
    ("4/4", "2. 4", "2. 4"),
    ("4/4", "4. 8 4. 8", "4. 8 4. 8"),
    ("4/4", "8 4 8 8 4 8", "8 4 8 8 4 8"),
    ("4/4", "8 4 4 4 8", "8 4 8~ 8 4 8"),
    ("4/4", "8 4. 2", "8 4. 2"),
    ("4/4", "4. 4. 4", "4. 8~ 4 4"),
    ("4/4", "5/8 4.", "2~ 8 4."),
    ("4/4", "2.. 8", "2.. 8"),
    ("4/4", "8 7/8", "8 4.~ 2"),
    ("4/4", "16 4 8. 2", "16 8.~ 16 8. 2"),
    ("4/4", "3/1", "1~ | 1~ | 1"),
    ("3/4", "4 2", "4 2"),
    ("3/4", "2.", "2."),
    ("3/4", "8 4 4 8", "8 4 4 8"),
    ("3/4", "8 5/8", "8 8~ 2"),
    ("3/4", "4 8 4.", "4 8 8~ 4"),
    ("3/4", "8 4. 4", "8 8~ 4 4"),
    ("3/4", "4. 8 4", "4. 8 4"),
    ("2/4", "8 4.", "8 4."),
    ("2/4", "8 4 8", "8 4 8"),
    ("2/4", "29/64 r3/64", "4~ 8.~ 64 r:64 r:32"),
    ("2/2", "4 2 4", "4 2 4"),
    ("6/8", "4 8 8 4", "4 8 8 4"),
    ("6/8", "2.", "2."),
    ("6/8", "4 4 4", "4 8~ 8 4"),
    ("6/8", "2 4", "4.~ 8 4"),
    ("9/8", "9/8", "2.~ 4."),
    ("12/8", "3/2", "1."),
    ("12/8", "4. 2. 4.", "4. 2. 4."),
    ("5/4:3+2", "5/4", "2.~ 2"),
    ("5/4:2+3", "5/4", "2~ 2."),
    ("5/4", "2 2 4", "2 4~ 4 4"),
    ("7/8:2+2+3", "7/8", "2~ 4."),
    ("7/8:3+2+2", "7/8", "4.~ 2"),
    ("10/8", "8 8 8 8 8 8 2", "8 8 8 8 8 8 2"),
    ("7/8:2+2+3", "8 4 2", "8 8~ 8 8~ 4."),
]


@pytest.mark.parametrize(("meter", "line", "expected"), NOTES)
def test_note_is_tied_only_where_the_meter_asks(meter: str, line: str, expected: str) -> None:
    assert unbeamed(rhythm(notes(*line.split()), meters=meter)) == expected


def unbeamed(text: str) -> str:
    return "".join(sign for sign in text if sign not in "[]-<>")


RESTS = [
    ("4/4", "4 r2 4", "4 r:4 r:4 4"),
    ("4/4", "r4 4 r2", "r:4 4 r:2"),
    ("4/4", "r2. 4", "r:2 r:4 4"),
    ("4/4", "4 r2.", "4 r:4 r:2"),
    ("4/4", "r4. 8 r4. 8", "r:4 r:8 8 r:4 r:8 8"),
    ("4/4", "8 r7/8", "8 r:8 r:4 r:2"),
    ("4/4", "r8. 16 r2.", "r:8. 16 r:4 r:2"),
    ("4/4", "16 r8. 2.", "16 r:16 r:8 2."),
    ("3/4", "4 r2", "4 r:4 r:4"),
    ("3/4", "r2 4", "r:4 r:4 4"),
    ("6/8", "r4. 8 r4", "r:4. 8 r:8 r:8"),
    ("6/8", "r4 8 8 r4", "r:4 8 8 r:8 r:8"),
    ("6/8", "4 r2", "4 r:8 r:4."),
    ("6/8", "r8 8 r8 4.", "r:8 8 r:8 4."),
    ("9/8", "4. r2.", "4. r:4. r:4."),
    ("12/8", "r4. 4. r2.", "r:4. 4. r:2."),
    ("7/8:2+2+3", "r2 4.", "r:4 r:4 4."),
    ("7/8:2+2+3", "2 r4.", "2 r:4."),
    ("5/4:3+2", "2 r2.", "2 r:4 r:2"),
]


@pytest.mark.parametrize(("meter", "line", "expected"), RESTS)
def test_rests_show_the_beats(meter: str, line: str, expected: str) -> None:
    assert unbeamed(rhythm(notes(*line.split()), meters=meter)) == expected


@pytest.mark.parametrize("meter", ["4/4", "3/4", "6/8", "5/4", "7/8", "3/2"])
def test_silent_bar_has_one_whole_bar_rest(meter: str) -> None:
    result = written("r:" + str(F(meter.replace(":", " "))) + " C4:4", meters=meter)
    assert shown(result)[0] == "R"
    assert result.movements[0].parts[0].staves[0].bars[0].voices[0][0].base == 1  # type: ignore[union-attr]


def test_pick_up_is_the_end_of_its_bar() -> None:
    result = written(notes("8", "8", "2", "2"), meters="4/4", pickup=F(3, 8))
    assert unbeamed(shown(result)[0]) == "C4:8 C4:8 C4:8~"
    assert [frame.number for frame in frames(result)][:2] == [0, 1]
    assert frames(result)[0].pickup and frames(result)[0].duration == F(3, 8)


def test_meters_change_from_bar_to_bar() -> None:
    assert rhythm(notes("2", "2", "4", "4", "8", "4"), meters="2/4, 3/4, 3/8") == "2 | 2 4 | 4 8 | 4 r:8"


def test_second_voice_has_rests_and_a_silent_one_prints_nothing() -> None:
    assert rhythm(notes("2", "2", "1"), notes("4")) == "2 2 // 4 r:4 r:2 | 1"


@pytest.mark.parametrize(
    ("meter", "line", "expected"),
    [
        ("4/4", "8 8. 16 8 2", "8 8~ 16 16 8 2"),
        ("4/4", "8. 8. 8 2", "8. 16~ 8 8 2"),
        ("4/4", "16 8 16 4 2", "16 8 16 4 2"),
        ("4/4", "16 16. 32 16 4 2", "16 16~ 32 32 16 4 2"),
        ("4/4", "4 4. 8 4", "4 4~ 8 8 4"),
        ("4/4", "8 4 4. 4", "8 4 8~ 4 4"),
        ("3/2", "4 2 4 2", "4 2 4 2"),
        ("3/2", "4 4. 8 4 2", "4 4~ 8 8 4 2"),
    ],
)
def test_only_the_syncopation_with_both_its_halves_is_one_note(meter: str, line: str, expected: str) -> None:
    """Over a beat a note stays whole where it begins half a beat before and ends half a beat after, or at a beat."""
    assert unbeamed(rhythm(notes(*line.split()), meters=meter)) == expected
