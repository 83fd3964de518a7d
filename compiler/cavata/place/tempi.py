"""The tempi of a movement in order: steady ones, and changes that are spread over a stretch of time.

In: the rows of each section with their places. Out: tempi, each from its onset on, the first at 0. While a tempo bends,
the length of a whole note grows or shrinks evenly along the score; where it arrives the new tempo stands. What goes on
unchanged is not printed again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import zip_longest

from cavata.diagnostics.record import Diagnostics
from cavata.record import dataclass
from cavata.score.score import Tempo
from cavata.syntax import tree as t

BACK = "back in tempo"
BROADENING = "broadening"


@dataclass(frozen=True, slots=True)
class TempoAt:
    """A row of tempo at its place in the movement; a change has its end."""

    onset: Fraction
    row: t.TempoRow
    end: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """What a section says of tempo: its onset, the row that stands at its head, and those with places, in order."""

    onset: Fraction
    head: t.TempoRow | None
    placed: tuple[TempoAt, ...]


@dataclass(frozen=True, slots=True)
class Rate:
    """A tempo and the words it was given with."""

    beat: Fraction
    per_minute: Fraction
    words: str = ""

    def changed(self, row: t.TempoRow) -> Rate:
        """What a row makes of it: its words, and its beat and rate if it has them."""
        return Rate(row.beat or self.beat, row.per_minute or self.per_minute, row.words)


class _Course:
    """Follows the tempo through a movement."""

    def __init__(self, base: Rate, own: t.TempoRow | None, bag: Diagnostics) -> None:
        self.base, self.own, self.bag = base, own, bag
        self.found: list[Tempo] = []
        self.holding: Rate | None = None
        self.steady = base
        self.arrival: Tempo | None = None

    def begin(self, stretch: Stretch) -> None:
        """The tempo at a section's beginning: its own, or the movement's."""
        wanted = self.base.changed(stretch.head) if stretch.head else self.base
        self.arrive(stretch.onset)
        self.steady = wanted
        if wanted == self.holding:
            return
        printed = self.own is not None or stretch.head is not None or self.holding is not None
        only_words = stretch.head.beat is None if stretch.head else self.own is not None and self.own.beat is None
        self.set(stretch.onset, wanted, printed, not only_words)

    def arrive(self, until: Fraction) -> None:
        """Where a change comes to its end before a place, the tempo that it leads to stands."""
        if self.arrival is not None and self.arrival.onset < until:
            self.found.append(self.arrival)
        self.arrival = None

    def set(self, onset: Fraction, rate: Rate, printed: bool, metronome: bool, keyword: bool = False) -> None:
        self.found.append(
            Tempo(onset, rate.beat, rate.per_minute, rate.words, printed, metronome, keyword=keyword)
        )
        self.holding = rate

    def take(self, at: TempoAt) -> None:
        """A row with a place."""
        row = at.row
        now = self.now(at.onset)
        self.arrive(at.onset)
        if at.end is not None and row.beat is not None and row.per_minute is not None:
            self.bend(at, now, Rate(row.beat, row.per_minute))
        elif row.back:
            self.set(at.onset, Rate(self.steady.beat, self.steady.per_minute, BACK), True, True, keyword=True)
        else:
            self.steady = now.changed(row)
            self.set(at.onset, self.steady, True, row.beat is not None)

    def now(self, onset: Fraction) -> Rate:
        """The tempo at a moment: where another change is under way, as far as it has gone."""
        last = self.found[-1]
        if self.arrival is None or last.until is None:
            assert self.holding is not None
            return self.holding
        if onset >= last.until:
            return Rate(self.arrival.beat, self.arrival.per_minute)
        return Rate(last.beat, 60 / (last.seconds_at(onset) * last.beat))

    def bend(self, at: TempoAt, now: Rate, goal: Rate) -> None:
        assert at.end is not None
        slower = goal.beat * goal.per_minute < now.beat * now.per_minute
        if goal.beat * goal.per_minute == now.beat * now.per_minute or slower != (at.row.bend == BROADENING):
            other, wanted = ("pressing on", "slower") if at.row.bend == BROADENING else (BROADENING, "faster")
            self.bag.error(
                "P404", at.row.span, f"{at.row.bend} leads to a tempo that is not {wanted}",
                f"the tempo here is {now.beat} at {shown(now.per_minute)}", f"write `{other} to`, or another tempo",
            )
            return
        arrival = Tempo(at.end, goal.beat, goal.per_minute)
        self.found.append(Tempo(
            at.onset, now.beat, now.per_minute, at.row.bend, True, False, at.end, arrival.seconds_per_whole, True
        ))  # fmt: skip
        self.arrival, self.holding = arrival, goal


def shown(rate: Fraction) -> str:
    """A rate as a message says it: whole, or to a tenth."""
    return str(rate) if rate.denominator == 1 else f"{float(rate):.1f}"


def movement_tempi(
    base: Rate, own: t.TempoRow | None, stretches: Iterable[Stretch], end: Fraction, bag: Diagnostics
) -> tuple[tuple[Tempo, ...], Rate]:
    """The tempi of a movement, and the rate that goes on into the next."""
    course = _Course(base, own, bag)
    for stretch in stretches:
        course.begin(stretch)
        for at in stretch.placed:
            course.take(at)
    course.arrive(end)
    assert course.holding is not None
    return tuple(_last_at_each_place(course.found)), course.holding


def _last_at_each_place(tempi: list[Tempo]) -> Iterator[Tempo]:
    for tempo, after in zip_longest(tempi, tempi[1:]):
        if tempo is not None and (after is None or after.onset != tempo.onset):
            yield tempo
