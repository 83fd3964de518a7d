"""The bars of a section: its ruler before its lines are laid, and the bars of the score once its length is known.

In: the rows of the movement and of the section. Out: a ruler; then bars that follow one another without gap.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import TypeVar

from cavata.diagnostics import Diagnostics, Refusal
from cavata.music.lengths import is_plain
from cavata.music.mode import Mode
from cavata.place.settings import COMMON, Settings
from cavata.record import record, replace
from cavata.score.score import Meter, ScoreBar
from cavata.syntax import tree as t
from cavata.text import so_many

# ----------------------------------------------------------------
# A section's bars: where each begins, and how long spans of bars are.
#
# Bars are made as far as they are asked for, so that a section can take its length from its lines.
# Onsets are in whole notes from the section's beginning, its pickup included.


_Held = TypeVar("_Held")

MOST_BARS = 10_000
"""Bars in one section."""
COUNTING = "bars count from 1 in each section"
"""The cure for a bar that is not there."""


def no_bars(cure: str) -> Refusal:
    """Why bars cannot be counted in free time; the cure says what to write there."""
    return Refusal("P110", "free time has no bars", "bars are counted here", cure)


def _too_many() -> Refusal:
    return Refusal("P108", f"a section has {MOST_BARS} bars at most", "", "divide it into sections")


class Ruler:
    """The bars of one section; bar 1 stands at index 0, after the pickup."""

    def __init__(
        self,
        meters: tuple[tuple[int, Meter | None], ...],
        keys: tuple[tuple[int, Mode | None], ...],
        pickup: Fraction,
        begins: Fraction = Fraction(0),
        shorter: Mapping[int, Fraction] = MappingProxyType({}),
    ) -> None:
        self.meters = meters
        self.keys = keys
        self.pickup = pickup
        self.begins = begins
        """Where a line begins that has no place of its own."""
        self.shorter = shorter
        """By how much bars are shorter than their meter says: an upbeat that is played again completes them."""
        self.onsets: list[Fraction] = [pickup]

    @property
    def said(self) -> tuple[object, ...]:
        """All that its bars follow from."""
        return self.meters, self.keys, self.pickup, self.begins, self.shorter

    @property
    def is_free(self) -> bool:
        """Whether the section is in free time."""
        return self.meters[0][1] is None

    def meter(self, bar: int) -> Meter | None:
        """The meter of a bar, counted from 1."""
        return _holding(self.meters, bar)

    def key(self, bar: int) -> Mode | None:
        """The key of a bar, counted from 1."""
        return _holding(self.keys, bar)

    def length(self, bar: int) -> Fraction:
        """How long a bar is."""
        meter = self.meter(bar)
        assert meter is not None
        return meter.duration - self.shorter.get(bar, 0)

    def onset(self, bar: int) -> Fraction:
        """Where a bar begins; bar 0 is the pickup."""
        if bar == 0:
            return Fraction(0)
        self._need(bar)
        return self.onsets[bar - 1]

    def _need(self, bar: int) -> None:
        if bar > MOST_BARS + 1:  # the last bar ends where another would begin
            raise _too_many()
        while len(self.onsets) < bar:
            self.onsets.append(self.onsets[-1] + self.length(len(self.onsets)))

    def bar_at(self, onset: Fraction) -> int:
        """The bar in which a place lies, counted from 1; 0 for the pickup."""
        if onset < self.pickup:
            return 0
        while self.onsets[-1] <= onset:
            self._need(len(self.onsets) + 1)
        return bisect_right(self.onsets, onset)

    def begins_bar(self, onset: Fraction) -> bool:
        """Whether a bar begins at a place, be it the pickup."""
        return onset >= 0 and self.onset(self.bar_at(onset)) == onset

    def span(self, length: t.Length, onset: Fraction) -> Fraction:
        """A span in whole notes; bars take the meter at the place where it begins."""
        if isinstance(length, Fraction):
            return length
        if self.is_free:
            raise no_bars("give a duration, as `1/2 rest`")
        if length.count > MOST_BARS:
            raise _too_many()
        return self.length(max(1, self.bar_at(onset))) * length.count

    def whole_bars(self, length: Fraction) -> int:
        """How many bars after the pickup hold a length that counts from the section's beginning."""
        bars = 0
        while self.onset(bars + 1) < length:
            bars += 1
        return bars

    def from_to(self, first: int, last: int, bars: int, cure: str) -> tuple[Fraction, Fraction]:
        """Where bars of a section of so many begin and end; refused if not there. The cure is for free time."""
        if self.is_free:
            raise no_bars(cure)
        if not 1 <= first <= last <= bars:
            message, turned = f"the section has no bars {first} to {last}", f"write `bars {last} to {first}`"
            raise Refusal("P117", message, f"it has {so_many(bars, 'bar')}", turned if last < first else COUNTING)
        return self.onset(first), self.onset(last + 1)

    def end_in_words(self, length: Fraction) -> str:
        """Where a length ends that counts from the section's beginning: `in bar 4`."""
        try:
            return f"in bar {self.whole_bars(length)}"
        except Refusal:
            return f"after bar {MOST_BARS}"


def _holding(changes: tuple[tuple[int, _Held], ...], bar: int) -> _Held:
    held = changes[0][1]
    for begin, value in changes:
        if begin <= bar:
            held = value
    return held


# ----------------------------------------------------------------
# Repeats of a section and its endings: which bars are played at which time through.
#
# In: the rows `repeated` and `ending` of a section with its bars. Out: a `Repeat`. Holds after: the endings follow one
# another up to the section's end, and every time through has exactly one of them.


@record
class Repeat:
    """How often a section is played, and the bars of its endings."""

    times: int
    endings: tuple[t.Ending, ...] = ()

    def ending_at(self, bar: int) -> tuple[int, ...]:
        """The times through at which a bar of the section is played; empty if at all of them."""
        return next((e.passes for e in self.endings if e.first <= bar <= e.last), ())

    def goes_back_after(self, bar: int, bars: int, lead: Fraction = Fraction(0)) -> bool:
        """Whether a repeat sign stands at the end of a bar of a section of so many bars; `lead` is its upbeat."""
        if not self.endings:
            return bar == bars and not lead
        return any(ending.last == bar and ending.passes[0] < self.times for ending in self.endings)


def repeat_of(
    rows: tuple[t.Repeated | t.Ending, ...], bars: int, bag: Diagnostics
) -> Repeat | None:
    """The repeat of a section; None if there is none, or if it was reported. Free time has no bars."""
    if not rows:
        return None
    if not bars:
        bag.error(
            "P301", rows[0].span, "free time cannot be repeated", label="it has no bar lines for the signs",
            cure="write its lines with `x 2`, or make a second section from it: `section again = first_one`",
        )
        return None
    counts = [row for row in rows if isinstance(row, t.Repeated)]
    for extra in counts[1:]:
        first = ((counts[0].span, "first here"),)
        bag.error(
            "P302", extra.span, "the repeat is set twice",
            label="again here", cure="keep one of them", also=first,
        )  # fmt: skip
    endings = tuple(row for row in rows if isinstance(row, t.Ending))
    if not endings:
        return Repeat(counts[0].times)
    times = counts[0].times if counts else max(number for ending in endings for number in ending.passes)
    if not (_in_order(endings, bars, bag) and _each_once(endings, times, bag)):
        return None
    return Repeat(times, endings)


def _in_order(endings: tuple[t.Ending, ...], bars: int, bag: Diagnostics) -> bool:
    """Whether the endings follow one another from a bar after the first up to the last."""
    due: int | None = None
    for ending in endings:
        label, cure = "", f"endings follow one another up to the section's last bar; {COUNTING}"
        if not 1 <= ending.first <= ending.last <= bars:
            label = f"the section has {so_many(bars, 'bar')}"
        elif due is None and ending.first == 1:
            label = "nothing would be repeated before it"
            cure = "let the bars that are played each time come first; what has none of them is two sections"
        elif due is not None and ending.first != due:
            label = f"the one before it ends with bar {due - 1}"
        if label:
            bag.error(
                "P303", ending.span, "this ending does not stand where an ending can", label=label,
                cure=cure,
            )
            return False
        due = ending.last + 1
    if due != bars + 1:
        bag.error(
            "P303", endings[-1].span, "the last ending stops before the section does",
            label=f"the section has {so_many(bars, 'bar')}",
            cure=f"let it end with bar {bars}, or begin a new section after it",
        )
        return False
    return True


def _each_once(endings: tuple[t.Ending, ...], times: int, bag: Diagnostics) -> bool:
    """Whether every time through has one ending, in order."""
    numbers = [number for ending in endings for number in ending.passes]
    if numbers == list(range(1, len(numbers) + 1)) and len(numbers) == times <= t.MOST_TIMES and len(endings) > 1:
        return True
    most = t.MOST_TIMES
    wanted = "two endings at least" if times < 2 or len(endings) == 1 else f"1 to {times}"
    if times > most:
        wanted = f"1 to {min(len(numbers), most)}, since a section is played {most} times at most"
    bag.error(
        "P304", endings[-1].span, "the endings do not say what is played at each time through",
        label=f"they count {', '.join(map(str, numbers))}",
        cure=f"number them in order, {wanted}; one may serve several: `ending 1, 2 bars 7 to 8`",
    )
    return False


# ----------------------------------------------------------------

_Row = TypeVar("_Row", bound=tuple[int, object])


FINEST_PICKUP = 1024
"""Who is silent in a pickup has plain rests there, undotted ones at its end."""


def section_ruler(above: Settings, settings: Settings, is_cadenza: bool, pickup: Fraction, bag: Diagnostics) -> Ruler:
    """The section's bars: its own rows over the movement's, a pickup or upbeat before them."""
    default_meter = None if is_cadenza else COMMON
    meters = _over(
        (0, above.meters[0][1] if above.meters else default_meter), [(bar, m) for bar, m, _ in settings.meters]
    )
    keys = _over((0, above.keys[0][1] if above.keys else None), [(bar, k) for bar, k, _ in settings.keys])
    _check_meters(settings, meters[0][1] is None, bag)
    first = meters[0][1]
    # What was reported just now is left out, so that bars can be counted all the same.
    meters = meters[:1] if first is None else tuple(row for row in meters if row[1] is not None)
    if pickup and (first is None or pickup >= first.duration):
        span = settings.pickup_span or above.pickup_span
        bag.error(
            "P123", span, "a pickup is shorter than a bar",
            label=f"the bar has {first}" if first else "free time has no bars", cure="write the whole bar out",
        )
        pickup = Fraction(0)
    elif is_plain(pickup) and pickup.denominator > FINEST_PICKUP:
        bag.error(
            "P118", settings.pickup_span or above.pickup_span, f"a pickup of {pickup} cannot be written",
            label="a rest would be shorter than 1/1024", cure="use a simpler value",
        )  # fmt: skip
    return Ruler(meters, keys, pickup)


def with_upbeat(ruler: Ruler, lead: Fraction, endings: tuple[t.Ending, ...]) -> Ruler:
    """The section's bars where its lines begin so much before its first bar.

    It is played again with that upbeat, which completes the last bar of every ending but the last.
    """
    pickup = max(ruler.pickup, lead)
    shorter = {ending.last: lead for ending in endings[:-1]}
    return Ruler(ruler.meters, ruler.keys, pickup, pickup - ruler.pickup, shorter)


def _check_meters(settings: Settings, free: bool, bag: Diagnostics) -> None:
    """Free time begins and ends with a section; a change inside one is reported."""
    for bar, meter, span in settings.meters:
        if bar and (meter is None or free):
            bag.error(
                "P124", span, "free time begins and ends with a section", label="in the midst of one",
                cure="give the free bars a section of their own",
            )


def _over(base: _Row, rows: list[_Row]) -> tuple[_Row, ...]:
    """A section's rows over the movement's one."""
    return tuple(rows) if rows and rows[0][0] == 0 else (base, *rows)


def section_bars(
    ruler: Ruler, onset: Fraction, length: Fraction, bars: int, number: int, printed: int, repeat: Repeat | None,
    upbeat: Fraction, lead: Fraction,
) -> Iterator[ScoreBar]:
    """The bars of a section at its onset; `printed` is the number of the bar before it, `bars` none in free time.

    What sounds before bar 1 is a bar of its own, unless it is an upbeat in the last bar of the section before. Signs of
    a repeat that begins with an upbeat, `lead`, stand inside bars and are not set here, but for those of endings.
    """
    if ruler.is_free:
        yield ScoreBar(printed + 1, onset, length, None, ruler.key(1), number, 1)
        return
    if ruler.pickup and not upbeat:
        yield ScoreBar(0, onset, ruler.pickup, ruler.meter(1), ruler.key(1), number, 0)
    for bar in range(1, bars + 1):
        yield ScoreBar(
            printed + bar, onset + ruler.onset(bar), ruler.length(bar), ruler.meter(bar), ruler.key(bar), number, bar,
            repeat is not None and bar == 1 and not lead,
            repeat.times if repeat is not None and repeat.goes_back_after(bar, bars, lead) else 0,
            repeat.ending_at(bar) if repeat is not None else (),
        )


# ----------------------------------------------------------------
# Bars in which a sign stands before their end.
#
# In: the bars of a movement, and where a repeat begins and ends inside one. Out: the same bars, those divided at their
# signs. Source: common practice.


@record
class Signs:
    """Where in a movement signs stand inside bars, or at one end of them."""

    begins: frozenset[Fraction]
    """Repeats that begin."""
    ends: Mapping[Fraction, int]
    """Repeats that end, each with how often all is played up to there."""
    opens: Mapping[Fraction, tuple[str, ...]]
    """Segno and coda."""
    closes: Mapping[Fraction, tuple[str, ...]]
    """Fine, `to coda` and jumps."""


def cut_bars(bars: Sequence[ScoreBar], signs: Signs) -> Iterator[ScoreBar]:
    """The bars, cut at the signs inside them."""
    places = sorted({*signs.begins, *signs.ends, *signs.opens, *signs.closes})
    for bar in bars:
        end = bar.end
        edges = (bar.onset, *(place for place in places if bar.onset < place < end), end)
        for first, last in pairwise(edges):
            opens, closes = first == bar.onset, last == end
            yield replace(
                bar, onset=first, duration=last - first, before=first - bar.onset,
                repeat_begins=(opens and bar.repeat_begins) or first in signs.begins,
                repeat_ends=(bar.repeat_ends if closes else 0) or signs.ends.get(last, 0),
                opens=signs.opens.get(first, ()), closes=signs.closes.get(last, ()),
            )  # fmt: skip
