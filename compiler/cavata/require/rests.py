"""How long a part plays without a rest for breath, or for a change of instrument.

In: the events of a part in order of onset, the rest that is wanted, and how many bars may pass without one. Out: each
stretch that is too long: where it begins, and the event that is under way when the bars are over.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from cavata.score.score import Movement, ScoreEvent, bar_at
from cavata.syntax import tree as t


def unbroken(
    movement: Movement, events: Sequence[ScoreEvent], wanted: t.Length, bars: int
) -> list[tuple[Fraction, ScoreEvent]]:
    """The stretches that go on for more than so many bars; free time has no bars and is left out."""
    found: list[tuple[Fraction, ScoreEvent]] = []
    begin: Fraction | None = None
    sounding = Fraction(0)
    told = False
    for event in events:
        if begin is None or event.onset - sounding >= _length(movement, wanted, sounding):
            begin, told = event.onset, False
        sounding = max(sounding, event.end)
        limit = _bars_after(movement, begin, bars)
        if limit is not None and sounding > limit and not told:
            found.append((begin, event))
            told = True
    return found


def _length(movement: Movement, wanted: t.Length, onset: Fraction) -> Fraction:
    """A rest in whole notes; bars in the metre of the place where it begins."""
    return wanted if isinstance(wanted, Fraction) else wanted.count * bar_at(movement.bars, onset).duration


def _bars_after(movement: Movement, onset: Fraction, bars: int) -> Fraction | None:
    """The place that lies so many bars after a place, as far into its bar; None where time is free."""
    index = max(0, bisect_right(movement.bars, onset, key=lambda bar: bar.onset) - 1)
    passed = movement.bars[index : index + bars]
    if any(bar.meter is None for bar in passed):
        return None
    lengths = sum((bar.duration for bar in passed), Fraction(0))
    missing = bars - len(passed)
    return onset + lengths + missing * movement.bars[index].duration
