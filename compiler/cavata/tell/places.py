"""Places of a piece as people name them: movement, section, bar, beat, and the time on the clock.

In: a score. Out: a place for any moment of any movement, each clock summed once.
"""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from cavata.record import record
from cavata.score.clock import Clock, clock_text, starts
from cavata.score.score import Movement, Score, ScoreBar, bar_at
from cavata.score.whereabouts import beat_text
from cavata.text import heading


@record
class NamedPlace:
    """One moment of the score."""

    movement: Movement
    section: str
    """As the script calls it; empty where the movement has none."""
    bar: int | None
    """As printed; None in free time."""
    bar_in_section: int | None
    beat: str
    """`3`, or `3 + 1/16` behind it; in free time what has gone by since the bar began, as `1/2`."""
    seconds: Fraction
    """From the beginning of the piece, where it is first heard."""
    again: tuple[Fraction, ...] = ()
    """Where it is heard again, the passage being repeated."""

    @property
    def movement_title(self) -> str:
        """What the audience reads."""
        return heading(self.movement.title, self.movement.name)

    @property
    def clock(self) -> str:
        """`2:41`."""
        return clock_text(self.seconds)

    @property
    def clocks(self) -> tuple[str, ...]:
        """Every time that it is heard."""
        return tuple(map(clock_text, (self.seconds, *self.again)))


class PlaceFinder:
    """Finds the place of any moment."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.clocks = tuple(Clock(movement) for movement in score.movements)
        self.starts = starts(self.clocks)
        self.length = sum((clock.length for clock in self.clocks), Fraction(0))
        """Seconds that the piece takes."""

    def bar(self, movement: int, onset: Fraction) -> ScoreBar:
        """The bar in which a moment of a movement lies."""
        return bar_at(self.score.movements[movement].bars, onset)

    def at(self, movement: int, onset: Fraction, times: Collection[int] | None = None) -> NamedPlace:
        """The place of a moment of a movement, that by its number; `times`: heard in these stretches of its playing."""
        found, bar = self.score.movements[movement], self.bar(movement, onset)
        first, *again = (self.starts[movement] + seconds for seconds in self.clocks[movement].heard(onset, times))
        free = bar.meter is None
        return NamedPlace(
            found, found.section_of(bar), None if free else bar.number, None if free else bar.bar_in_section,
            _beat(bar, onset), first, tuple(again),
        )  # fmt: skip


def _beat(bar: ScoreBar, onset: Fraction) -> str:
    gone = onset - bar.begin
    if bar.meter is None:
        return str(gone)
    return beat_text(gone, bar.meter.denominator)
