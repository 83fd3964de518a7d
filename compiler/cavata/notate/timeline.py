"""The written bars of a movement before any music stands in them.

In: a movement of the score. Out: `Span` after span without gap, one for each bar, several for a stretch of free
time, so that its lines can break. Every span's written length is plain (no tuplet is cut short).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.record import dataclass
from cavata.score.score import Movement, ScoreBar

FREE_LENGTH = Fraction(2)
"""A stretch of free time is cut about this often, in whole notes."""


@dataclass(frozen=True, slots=True)
class WrittenSpan:
    """One written bar in time."""

    bar: ScoreBar
    onset: Fraction
    end: Fraction
    lead: Fraction = Fraction(0)
    """Silence written before the onset, to make up a pick-up of no plain length."""
    tail: Fraction = Fraction(0)
    """Silence written after the end, to make up free time of no plain length."""
    continues: bool = False
    """It goes on with the free time of the span before."""

    @property
    def duration(self) -> Fraction:
        """Its length as written, in whole notes."""
        return self.lead + self.end - self.onset + self.tail


def is_plain(length: Fraction) -> bool:
    """Whether halving a whole note reaches it."""
    return length.denominator & (length.denominator - 1) == 0


def written_spans(movement: Movement) -> tuple[WrittenSpan, ...]:
    """The movement's bars, with long free time cut where every voice can be."""
    free = any(bar.meter is None for bar in movement.bars)
    busy = _sounding(movement) if free else ()
    spans: list[WrittenSpan] = []
    for bar in movement.bars:
        end = bar.onset + bar.duration
        if bar.duration == 0:
            continue
        if bar.meter is None:
            spans.extend(_free_spans(bar, end, busy))
        else:
            missing = _missing(bar.duration, Fraction(1, bar.meter.denominator))
            lead, tail = (missing, Fraction(0)) if bar.bar_in_section == 0 else (Fraction(0), missing)
            spans.append(WrittenSpan(bar, bar.onset, end, lead, tail))
    return tuple(spans)


def _missing(length: Fraction, unit: Fraction) -> Fraction:
    """What a length lacks to the next multiple of a unit, if it is not plain itself."""
    return Fraction(0) if is_plain(length) else -length % unit


def _sounding(movement: Movement) -> tuple[tuple[Fraction, Fraction], ...]:
    """Stretches in which some voice sounds one event, from its onset to its end, in order of onset."""
    return tuple(sorted({(event.onset, event.end) for event in movement.events}))


def _free_spans(bar: ScoreBar, end: Fraction, busy: Sequence[tuple[Fraction, Fraction]]) -> Iterator[WrittenSpan]:
    start, continues = bar.onset, False
    for place in (*_free_cuts(bar, end, busy), end):
        tail = _missing(place - start, Fraction(1, 4)) if place == end else Fraction(0)
        yield WrittenSpan(bar, start, place, tail=tail, continues=continues)
        start, continues = place, True


def _free_cuts(bar: ScoreBar, end: Fraction, busy: Sequence[tuple[Fraction, Fraction]]) -> Iterator[Fraction]:
    """Plain places that no sound goes through, the first after every two whole notes; no short end is cut off."""
    last = bar.onset
    covered = bar.onset
    for onset, until in busy[bisect_left(busy, (bar.onset, Fraction(0))) :]:
        if onset >= end:
            return
        far = onset - last >= FREE_LENGTH and end - onset >= FREE_LENGTH / 2
        if far and onset >= covered and is_plain(onset - last):
            yield onset
            last = onset
        covered = max(covered, until)
