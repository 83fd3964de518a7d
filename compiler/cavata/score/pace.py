"""How fast the score goes at every moment: tempi, their changes, and fermatas as stretches of clock time.

In: a movement. Out: paces without gap from its beginning to its end, each with the seconds of a whole note where it
begins and where it ends; between them that length changes evenly along the score. So a stretch of L whole notes takes

    L x (seconds of a whole note at its beginning + at its end) / 2

seconds, exactly: the sum of beats each of which is longer than the one before by the same amount. A fermata
spreads what it adds over the end of its note: its last quarter, or all of a shorter note. Where several sound at
once the longest counts.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from cavata.record import dataclass
from cavata.score.score import Movement, Tempo

HELD = Fraction(1, 4)
"""The end of a note over which a fermata spreads."""


@dataclass(frozen=True, slots=True)
class Pace:
    """A stretch of the score in whole notes, and the seconds of a whole note at both its ends."""

    onset: Fraction
    end: Fraction
    first: Fraction
    last: Fraction
    held: bool = False
    """A fermata stretches it."""

    @property
    def seconds(self) -> Fraction:
        """How long it takes."""
        return (self.end - self.onset) * (self.first + self.last) / 2

    def part(self, onset: Fraction, end: Fraction) -> Pace:
        """The part of it between two moments."""
        return Pace(onset, end, self._at(onset), self._at(end), self.held)

    def _at(self, moment: Fraction) -> Fraction:
        if self.first == self.last:
            return self.first
        return self.first + (self.last - self.first) * (moment - self.onset) / (self.end - self.onset)


def paces(movement: Movement) -> tuple[Pace, ...]:
    """The paces of a movement, from its beginning to its end."""
    stretched = tuple(_fermatas(movement))
    moments = {Fraction(0), movement.duration}
    moments.update(tempo.onset for tempo in movement.tempi)
    moments.update(moment for begin, end, _ in stretched for moment in (begin, end))
    ordered = sorted(moment for moment in moments if 0 <= moment <= movement.duration)
    onsets = [tempo.onset for tempo in movement.tempi]
    return tuple(
        _pace(movement.tempi[bisect_right(onsets, begin) - 1], begin, end, stretched)
        for begin, end in pairwise(ordered)
    )


def _pace(
    tempo: Tempo, begin: Fraction, end: Fraction, stretched: tuple[tuple[Fraction, Fraction, Fraction], ...]
) -> Pace:
    factor = max((f for since, until, f in stretched if since <= begin and end <= until), default=Fraction(1))
    return Pace(begin, end, tempo.seconds_at(begin) * factor, tempo.seconds_at(end) * factor, factor != 1)


def _fermatas(movement: Movement) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """From, to, and how many times as long the score takes there."""
    for event in movement.events:
        if event.event.marks.held:
            length = min(event.event.duration, HELD)
            yield event.end - length, event.end, 1 + event.event.marks.held / length
