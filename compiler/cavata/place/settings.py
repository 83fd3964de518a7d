"""What holds in a stretch of music: meter, key and tempo, and their changes on the way.

A movement's rows hold for all its sections; a section's rows stand before them, inside that section
only. A row with a place holds from there to the section's end.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import zip_longest
from typing import TypeVar

from cavata.diagnostics import Diagnostics
from cavata.music.mode import Mode
from cavata.record import record, replace
from cavata.score.score import Meter, Tempo
from cavata.source import Span
from cavata.syntax import tree as t

# ------------------------------------------------------------------ meters


def meter_of(numerator: int, denominator: int, groups: tuple[int, ...], sign: str = "") -> Meter:
    """A meter with the script's beat groups, or with those of common practice."""
    return Meter(numerator, denominator, groups or default_groups(numerator, denominator), bool(groups), sign)


def default_groups(numerator: int, denominator: int) -> tuple[int, ...]:
    """Beats in units of the denominator. Source: common practice.

    Threes in compound meter; in eighths and shorter, twos with a three at the end of an odd number;
    quarters and longer one by one, but 5 as 3+2 and 7 as 2+2+3.
    """
    if numerator % 3 == 0 and (numerator > 3 or denominator >= 8):
        return (3,) * (numerator // 3)
    if denominator >= 8:
        if numerator % 2 and numerator > 3:
            return (3, 2) if numerator == 5 else (2,) * ((numerator - 3) // 2) + (3,)
        return (2,) * (numerator // 2) if numerator % 2 == 0 else (numerator,)
    return {5: (3, 2), 7: (2, 2, 3)}.get(numerator, (1,) * numerator)


# ------------------------------------------------------------------ tempi


BACK = "back in tempo"
BROADENING = "broadening"


@record
class TempoAt:
    """A row of tempo at its place in the movement; a change has its end."""

    onset: Fraction
    row: t.TempoRow
    end: Fraction | None = None


@record
class TempoStretch:
    """What a section says of tempo: its onset, the row that stands at its head, and those with places, in order."""

    onset: Fraction
    head: t.TempoRow | None
    placed: tuple[TempoAt, ...]


def unplaced(beat: Fraction, per_minute: Fraction) -> Tempo:
    """A tempo of which it is not known yet where it stands and how it is printed."""
    return Tempo(Fraction(0), beat, per_minute)


def changed_tempo(tempo: Tempo, row: t.TempoRow) -> Tempo:
    """What a row makes of a tempo that has no place yet: its words, and its beat and rate if it has them.

    Where a note value becomes as long as another was, its rate is exactly that of the other.
    """
    rate = row.per_minute or tempo.per_minute
    if row.equals is not None:
        rate = tempo.per_minute * tempo.beat / row.equals
    return replace(tempo, beat=row.beat or tempo.beat, per_minute=rate, words=row.words, equals=row.equals)


class _Course:
    """Follows the tempo through a movement: found are those that have a place, the others are yet without."""

    def __init__(self, base: Tempo, own: t.TempoRow | None, bag: Diagnostics) -> None:
        self.base, self.own, self.bag = base, own, bag
        self.found: list[Tempo] = []
        self.holding: Tempo | None = None
        self.steady = base
        self.arrival: Tempo | None = None

    def begin(self, stretch: TempoStretch) -> None:
        """The tempo at a section's beginning: its own, or the movement's."""
        before = self.base
        if stretch.head and stretch.head.equals is not None and self.found:
            before = self.now(stretch.onset)
        wanted = changed_tempo(before, stretch.head) if stretch.head else self.base
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

    def set(self, onset: Fraction, tempo: Tempo, printed: bool, metronome: bool, keyword: bool = False) -> None:
        """A tempo holds from here on."""
        self.found.append(replace(tempo, onset=onset, printed=printed, metronome=metronome, keyword=keyword))
        self.holding = tempo

    def take(self, at: TempoAt) -> None:
        """A row with a place."""
        row = at.row
        now = self.now(at.onset)
        self.arrive(at.onset)
        if at.end is not None and row.beat is not None and row.per_minute is not None:
            self.bend(at, now, unplaced(row.beat, row.per_minute))
        elif row.back:
            words = row.words or BACK
            self.set(at.onset, replace(self.steady, words=words, equals=None), True, True, keyword=not row.words)
        else:
            self.steady = changed_tempo(now, row)
            self.set(at.onset, self.steady, True, row.beat is not None)

    def now(self, onset: Fraction) -> Tempo:
        """The tempo at a moment: where another change is under way, as far as it has gone."""
        last = self.found[-1]
        if self.arrival is None or last.until is None:
            assert self.holding is not None
            return self.holding
        if onset >= last.until:
            return unplaced(self.arrival.beat, self.arrival.per_minute)
        return unplaced(last.beat, 60 / (last.seconds_at(onset) * last.beat))

    def bend(self, at: TempoAt, now: Tempo, goal: Tempo) -> None:
        """A tempo changes by and by, up to its end, where the goal holds."""
        assert at.end is not None
        if self.leads_nowhere(at.row, now, goal):
            return
        arrival = replace(goal, onset=at.end)
        self.found.append(replace(
            now, onset=at.onset, words=at.row.bend or at.row.words, metronome=False, until=at.end,
            goal=arrival.seconds_per_whole, keyword=bool(at.row.bend),
        ))  # fmt: skip
        self.arrival, self.holding = arrival, goal

    def leads_nowhere(self, row: t.TempoRow, now: Tempo, goal: Tempo) -> bool:
        """Report a change to the tempo that is there, and a keyword that says it goes the other way."""
        was, wanted = now.beat * now.per_minute, goal.beat * goal.per_minute
        if wanted != was and (not row.bend or (wanted < was) == (row.bend == BROADENING)):
            return False
        if row.bend:
            other, way = ("pressing on", "slower") if row.bend == BROADENING else (BROADENING, "faster")
            message, cure = f"{row.bend} leads to a tempo that is not {way}", f"write `{other} to`, or another tempo"
        else:
            message, cure = "the words lead to the tempo that is there already", "write a slower tempo, or a faster one"
        label = f"the tempo here is {now.beat} at {shown(now.per_minute)}"
        self.bag.error("P404", row.span, message, label=label, cure=cure)
        return True


def shown(rate: Fraction) -> str:
    """A rate as a message says it: whole, or to a tenth."""
    return str(rate) if rate.denominator == 1 else f"{float(rate):.1f}"


def movement_tempi(
    base: Tempo, own: t.TempoRow | None, stretches: Iterable[TempoStretch], end: Fraction, bag: Diagnostics
) -> tuple[tuple[Tempo, ...], Tempo]:
    """The tempi of a movement, each from its onset on, the first at 0, and the one that goes on into the next.

    While a tempo bends, the length of a whole note grows or shrinks evenly along the score; where it arrives the new
    tempo stands. What goes on unchanged is not printed again.
    """
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


# ------------------------------------------------------------------ rows sorted


COMMON = meter_of(4, 4, ())

_Key = TypeVar("_Key")
_Row = TypeVar("_Row")


@record
class Settings:
    """The rows of a movement or section, sorted by what they set."""

    meters: tuple[tuple[int, Meter | None, Span], ...]
    """From which bar on; bar 0 stands for the beginning. None for free time."""
    keys: tuple[tuple[int, Mode | None, Span], ...]
    tempi: tuple[t.TempoRow, ...]
    pickup: Fraction
    pickup_span: Span | None
    attacca: bool


def sorted_settings(rows: tuple[t.Setting, ...], bag: Diagnostics) -> Settings:
    """The rows sorted; a second row for the same place is reported."""
    meters: dict[int, tuple[int, Meter | None, Span]] = {}
    keys: dict[int, tuple[int, Mode | None, Span]] = {}
    tempi: dict[tuple[int, int, Fraction], t.TempoRow] = {}
    pickup: t.PickupRow | None = None
    attacca = False
    for row in rows:
        match row:
            case t.MeterRow(place, numerator, denominator, groups, span):
                bar = _bar(place, bag)
                meter = meter_of(numerator, denominator, groups, row.sign) if numerator else None
                _once(meters, bar, (bar, meter, span), span, "meter", bag)
            case t.KeyRow(place=place, span=span):
                bar = _bar(place, bag)
                _once(keys, bar, (bar, row.key, span), span, "key", bag)
            case t.TempoRow(place=place, span=span):
                if place is None and (row.over is not None or row.back):
                    begins = "back in tempo" if row.back else row.bend or '"..." to'
                    bag.error(
                        "P402", span, "a change of tempo has a place", label="where does it begin?",
                        cure=f"write `tempo at bar 1: {begins} ...`",
                    )
                    continue
                at = (place.bar, place.beat, place.offset) if place else (0, 0, Fraction(0))
                _once(tempi, at, row, span, "tempo", bag)
            case t.PickupRow(span=span):
                if pickup is not None:
                    bag.error("P121", span, "the pickup is set twice", label="again here", cure="keep one of them")
                pickup = row
            case t.Attacca():
                attacca = True
    return Settings(
        tuple(meters[bar] for bar in sorted(meters)),
        tuple(keys[bar] for bar in sorted(keys)),
        tuple(tempi[at] for at in sorted(tempi)),
        pickup.duration if pickup else Fraction(0),
        pickup.span if pickup else None,
        attacca,
    )


def _bar(place: t.Place | None, bag: Diagnostics) -> int:
    if place is None or (place.counted and place.bar <= 1):
        return 0
    if place.beat != 1 or place.offset:
        bag.error(
            "P120", place.span, "meter and key change at a bar line", label="inside a bar",
            cure=f"write `at bar {max(1, place.bar)}`",
        )
    return place.bar


def _once(rows: dict[_Key, _Row], key: _Key, value: _Row, span: Span, what: str, bag: Diagnostics) -> None:
    if key in rows:
        bag.error("P121", span, f"the {what} is set twice at one place", label="again here", cure="keep one of them")
    rows[key] = value
