"""Bars along a section: onsets, spans, meters that change on the way, the pickup."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from music21 import meter as m21meter

from cavata.diagnostics import Refusal
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch_class
from cavata.place.bars import MOST_BARS, Ruler
from cavata.place.settings import default_groups, meter_of
from cavata.syntax import tree as t

THREE, TWO, SIX = meter_of(3, 4, ()), meter_of(2, 4, ()), meter_of(6, 8, ())
D_MINOR = Mode(parse_pitch_class("D"), "minor")
CHANGING = Ruler(((0, THREE), (3, TWO), (5, SIX)), ((0, None), (2, D_MINOR)), F(1, 4))


def bars(count: int) -> t.Length:
    return t.Bars(count)


def test_bars_begin_where_the_ones_before_them_end() -> None:
    assert [CHANGING.onset(bar) for bar in range(7)] == [0, F(1, 4), 1, F(7, 4), F(9, 4), F(11, 4), F(7, 2)]
    for bar in range(1, 40):
        assert CHANGING.onset(bar) + CHANGING.length(bar) == CHANGING.onset(bar + 1)


def test_every_place_lies_in_one_bar() -> None:
    assert CHANGING.bar_at(F(0)) == CHANGING.bar_at(F(1, 4) - F(1, 1000)) == 0
    for bar in range(1, 20):
        assert CHANGING.bar_at(CHANGING.onset(bar)) == bar
        assert CHANGING.bar_at(CHANGING.onset(bar + 1) - F(1, 1000)) == bar


def test_meter_and_key_hold_until_they_change() -> None:
    assert [CHANGING.meter(bar) for bar in (1, 2, 3, 4, 5, 9)] == [THREE, THREE, TWO, TWO, SIX, SIX]
    assert [CHANGING.key(bar) for bar in (1, 2, 9)] == [None, D_MINOR, D_MINOR]


def test_spans_of_bars_take_the_meter_where_they_begin() -> None:
    assert CHANGING.span(bars(2), CHANGING.onset(2)) == F(3, 2)
    assert CHANGING.span(bars(2), CHANGING.onset(3)) == 1
    assert CHANGING.span(bars(1), F(0)) == F(3, 4)
    assert CHANGING.span(F(1, 8), F(0)) == F(1, 8)


def test_whole_bars_hold_a_length() -> None:
    assert CHANGING.whole_bars(F(1, 4)) == 0
    assert CHANGING.whole_bars(F(1, 4) + F(1, 1000)) == 1
    assert CHANGING.whole_bars(F(1)) == 1
    assert CHANGING.whole_bars(F(7, 4)) == 2
    assert CHANGING.whole_bars(F(2)) == 3


def test_bars_are_bounded() -> None:
    with pytest.raises(Refusal, match="bars at most"):
        CHANGING.onset(MOST_BARS + 2)
    with pytest.raises(Refusal, match="bars at most"):
        CHANGING.span(bars(MOST_BARS + 1), F(0))
    assert "after bar" in CHANGING.end_in_words(F(10**6))
    assert CHANGING.end_in_words(F(1)) == "in bar 1"


def test_free_time_has_no_bars() -> None:
    free = Ruler(((0, None),), ((0, None),), F(0))
    assert free.is_free
    assert free.span(F(1, 2), F(3)) == F(1, 2)
    with pytest.raises(Refusal, match="free time has no bars"):
        free.span(bars(1), F(0))


@pytest.mark.parametrize("numerator", range(1, 16))
@pytest.mark.parametrize("denominator", [2, 4, 8, 16])
def test_groups_fill_the_bar(numerator: int, denominator: int) -> None:
    assert sum(default_groups(numerator, denominator)) == numerator
    assert meter_of(numerator, denominator, ()).duration == F(numerator, denominator)


@pytest.mark.parametrize(
    ("sign", "groups"),
    [
        ("5/4", "3 2"), ("7/4", "2 2 3"), ("6/4", "3 3"), ("4/4", "1 1 1 1"), ("5/2", "3 2"), ("1/8", "1"),
        ("2/8", "2"), ("3/8", "3"), ("3/4", "1 1 1"), ("5/8", "3 2"), ("7/8", "2 2 3"), ("8/8", "2 2 2 2"),
        ("11/8", "2 2 2 2 3"), ("13/16", "2 2 2 2 2 3"), ("9/8", "3 3 3"), ("11/4", "1 1 1 1 1 1 1 1 1 1 1"),
    ],
)  # fmt: skip
def test_beats_are_those_of_custom(sign: str, groups: str) -> None:
    """Source: common practice; 5 as 3+2 and 7 as 2+2+3, other odd numbers with the three at the end."""
    numerator, denominator = map(int, sign.split("/"))
    assert default_groups(numerator, denominator) == tuple(map(int, groups.split()))


@pytest.mark.parametrize("sign", ["2/4", "3/4", "4/4", "6/8", "9/8", "12/8", "2/2", "3/2", "6/4", "3/8", "15/8"])
def test_beats_are_those_of_music21(sign: str) -> None:
    """music21's beats, as lengths in quarters, for simple and compound meters."""
    numerator, denominator = map(int, sign.split("/"))
    expected = [F(beat.duration.quarterLength) / 4 for beat in m21meter.TimeSignature(sign).beatSequence]
    assert [F(group, denominator) for group in default_groups(numerator, denominator)] == expected


def test_groups_of_the_script_stand() -> None:
    seven = meter_of(7, 8, (2, 2, 3))
    assert seven.groups == (2, 2, 3)
    assert seven.as_given
    assert not meter_of(7, 8, ()).as_given
    assert str(seven) == "7/8"
