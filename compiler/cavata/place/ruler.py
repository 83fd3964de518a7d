"""A section's bars: where each begins, and how long spans of bars are.

Bars are made as far as they are asked for, so that a section can take its length from its lines.
Onsets are in whole notes from the section's beginning, its pick-up included.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from typing import TypeVar

from cavata.music.mode import Mode
from cavata.music.refusal import Refusal
from cavata.score.score import Meter
from cavata.syntax import tree as t

_Held = TypeVar("_Held")

MOST_BARS = 10_000
"""Bars in one section."""
COUNTING = "bars count from 1 in each section"
"""The cure for a bar that is not there."""


class Ruler:
    """The bars of one section; bar 1 stands at index 0, after the pick-up."""

    def __init__(
        self,
        meters: tuple[tuple[int, Meter | None], ...],
        keys: tuple[tuple[int, Mode | None], ...],
        pickup: Fraction,
    ) -> None:
        self.meters = meters
        self.keys = keys
        self.pickup = pickup
        self.onsets: list[Fraction] = [pickup]

    @property
    def is_free(self) -> bool:
        """Whether the section is in free time."""
        return self.meters[0][1] is None

    def meter(self, bar: int) -> Meter | None:
        """The metre of a bar, counted from 1."""
        return _holding(self.meters, bar)

    def key(self, bar: int) -> Mode | None:
        """The key of a bar, counted from 1."""
        return _holding(self.keys, bar)

    def length(self, bar: int) -> Fraction:
        """How long a bar is."""
        meter = self.meter(bar)
        assert meter is not None
        return meter.duration

    def onset(self, bar: int) -> Fraction:
        """Where a bar begins; bar 0 is the pick-up."""
        if bar == 0:
            return Fraction(0)
        self._need(bar)
        return self.onsets[bar - 1]

    def _need(self, bar: int) -> None:
        if bar > MOST_BARS:
            raise Refusal("P108", f"a section has {MOST_BARS} bars at most", "", "divide it into sections")
        while len(self.onsets) < bar:
            self.onsets.append(self.onsets[-1] + self.length(len(self.onsets)))

    def bar_at(self, onset: Fraction) -> int:
        """The bar in which a place lies, counted from 1; 0 for the pick-up."""
        if onset < self.pickup:
            return 0
        while self.onsets[-1] <= onset:
            self._need(len(self.onsets) + 1)
        return bisect_right(self.onsets, onset)

    def span(self, length: t.Length, onset: Fraction) -> Fraction:
        """A span in whole notes; bars take the metre at the place where it begins."""
        if isinstance(length, Fraction):
            return length
        if self.is_free:
            raise Refusal(
                "P110", "free time has no bars", "bars are counted here", "give a duration, as `rest 1/2`"
            )
        if length.count > MOST_BARS:
            raise Refusal("P108", f"a section has {MOST_BARS} bars at most", "", "divide it into sections")
        return self.length(max(1, self.bar_at(onset))) * length.count

    def whole_bars(self, length: Fraction) -> int:
        """How many bars after the pick-up hold a length that counts from the section's beginning."""
        bars = 0
        while self.onset(bars + 1) < length:
            bars += 1
        return bars

    def end_in_words(self, length: Fraction) -> str:
        """Where a length ends that counts from the section's beginning: `in bar 4`."""
        try:
            return f"in bar {self.whole_bars(length)}"
        except Refusal:
            return f"after bar {MOST_BARS}"


def bars_in_words(count: int) -> str:
    """`1 bar`, `2 bars`."""
    return "1 bar" if count == 1 else f"{count} bars"


def length_in_words(length: Fraction) -> str:
    """As the language writes it, whole notes too: `2/1`."""
    return f"{length.numerator}/{length.denominator}"


def _holding(changes: tuple[tuple[int, _Held], ...], bar: int) -> _Held:
    held = changes[0][1]
    for begin, value in changes:
        if begin <= bar:
            held = value
    return held
