"""Which stretches of a bar stand under a tuplet's bracket, and in which ratio.

In: a grid and the boundaries of a bar's sounds and silences. Out: brackets, in order, apart from one
another; every boundary that no halving reaches lies inside one. The simplest set is taken: few ties,
few brackets, narrow ones, whole units before fractions of them. A bracket stands where one note of
its length may stand. Where a stretch needs two primes, or one twice, others stand inside it if that is simpler: the
outer one is then that with the most boundaries on its own grid. Source: common practice; the weights are this
project's own.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import pairwise
from math import gcd, lcm

from cavata.notate.meters import Grid, MetricLevel, bracket_grid, stands_as_one
from cavata.notate.written import note_value, odd_part

# ----------------------------------------------------------------
# One sound or silence as note values: where a note is tied, how a silence is spelled.
#
# In: a grid and a stretch of it in ticks. Out: the stretch cut into pieces, each one note value.
# A note has as few pieces as the grid allows, cut at its coarsest boundary; a rest fills cells of the
# grid and never hides a beat. Source: common practice.


TickSpan = tuple[int, int]
_RANKS = 3
"""How many levels, from the coarsest with a boundary inside, are tried for a cut. A finer one saves a tie once in
some hundreds of stretches, and at the cost of a beat that no longer shows."""


@lru_cache(maxsize=16384)
def note_pieces(grid: Grid, start: int, end: int) -> tuple[TickSpan, ...]:
    """The fewest tied notes that make the stretch, each of which may stand where it does."""
    if stands_as_one(grid, start, end):
        return ((start, end),)
    assert start % grid.finest == 0 and end % grid.finest == 0, "a bracket holds what no halving reaches"
    best: tuple[TickSpan, ...] = ()
    ranks = 0
    for level in grid.cuts or grid.levels:
        first, last = level.after(start), level.before(end)
        if first >= end:
            continue
        ranks += 1
        for cut in dict.fromkeys((last, first) if level.has(start) else (first, last)):
            pieces = note_pieces(grid, start, cut) + note_pieces(grid, cut, end)
            if not best or len(pieces) < len(best):
                best = pieces
        if len(best) == 2 or ranks == _RANKS:
            break
    return best


@lru_cache(maxsize=16384)
def rest_pieces(grid: Grid, start: int, end: int) -> tuple[TickSpan, ...]:
    """The rests that fill a silence, each a cell of the grid."""
    pieces = []
    while start < end:
        until = max(_rest_ends(grid, start, end))
        pieces.append((start, until))
        start = until
    return tuple(pieces)


def _rest_ends(grid: Grid, start: int, end: int) -> list[int]:
    ends = [stop for begin, stop in grid.rest_extras if begin == start and stop <= end]
    for level in grid.rest_levels:
        if not level.has(start):
            continue
        stop = level.after(start)
        value = note_value(stop - start, grid.whole) if stop <= end else None
        if value is not None and value[1] <= (1 if level.dotted_rests else 0):
            ends.append(stop)
            break
    return ends


def free_pieces(whole: int, start: int, end: int) -> tuple[TickSpan, ...]:
    """Pieces where there is no beat: one note where one will do, else the longest first, dotted at most once."""
    pieces = []
    while start < end:
        until = _longest(whole, start, end)
        pieces.append((start, until))
        start = until
    return tuple(pieces)


def _longest(whole: int, start: int, end: int) -> int:
    if note_value(end - start, whole) is not None:
        return end
    plain = 2 * whole
    while plain > end - start:
        plain //= 2
    dotted = plain * 3 // 2
    return start + (dotted if dotted <= end - start else plain)


# ----------------------------------------------------------------

PRIMES = (3, 5, 7, 11, 13)
NARROWEST_NEST, WIDEST_NEST = 9, 225
"""Units of a stretch that may be divided among brackets inside a bracket: three threes, three fives of fifteen."""
SIMPLE_RATIOS = (3, 5, 6, 7, 11, 13)


@dataclass(frozen=True, slots=True)
class Bracket:
    """A stretch of the bar under one bracket: `actual` units in the time of `normal`."""

    start: int
    end: int
    actual: int
    normal: int
    inner: tuple[Bracket, ...] = ()
    """Brackets inside it, counted from its own start."""

    @property
    def unit(self) -> int:
        """Ticks that one unit sounds."""
        return (self.end - self.start) // self.actual

    def written_whole(self, whole: int) -> int:
        """Ticks of a whole note as written inside the bracket, where a whole note outside has so many."""
        return whole * self.normal // self.actual

    def grid(self, whole: int) -> Grid:
        """The grid inside the bracket."""
        return bracket_grid(self.actual, self.unit, self.written_whole(whole))


@dataclass(frozen=True, slots=True)
class BarRhythm:
    """The boundaries of a bar: where each sound or silence begins, and which of them sound."""

    starts: tuple[int, ...]
    sounding: tuple[bool, ...]
    end: int

    def sounds_across(self, place: int) -> bool:
        """Whether a sound goes on through this place."""
        index = bisect_right(self.starts, place) - 1
        return self.sounding[index] and self.starts[index] != place

    def sounds_at(self, place: int) -> bool:
        """Whether a sound stands at this place or begins there."""
        return self.sounding[bisect_right(self.starts, place) - 1]

    def inside(self, start: int, end: int) -> tuple[int, ...]:
        """The boundaries strictly between two places."""
        return tuple(place for place in self.starts if start < place < end)


    def part(self, start: int, end: int) -> BarRhythm:
        """What sounds between two places, counted from the first."""
        places = (start, *self.inside(start, end))
        sounding = tuple(self.sounds_at(place) for place in places)
        return BarRhythm(tuple(place - start for place in places), sounding, end - start)


def brackets(grid: Grid, rhythm: BarRhythm) -> tuple[Bracket, ...]:
    """The brackets that the rhythm needs on this grid, in order."""
    found = list(_duplets(grid, rhythm))
    for start, end in _merged(grid, _odd_runs(rhythm, grid.finest)):
        found.extend(_Search(grid, rhythm, start if grid.length == 0 else 0).best(start, end)[1])
    return tuple(sorted(found, key=lambda bracket: bracket.start))


def _odd_runs(rhythm: BarRhythm, finest: int) -> list[TickSpan]:
    """The stretches between plain boundaries that hold boundaries no halving reaches."""
    runs, plain, odd = [], 0, False
    for place in (*rhythm.starts, rhythm.end):
        if place % finest:
            odd = True
            continue
        if odd:
            runs.append((plain, place))
        plain, odd = place, False
    return runs


def _merged(grid: Grid, runs: list[TickSpan]) -> list[TickSpan]:
    """Runs that meet within one beat taken as one, so that eighth, two sixteenths, eighth have one triplet."""
    merged: list[TickSpan] = []
    for start, end in runs:
        if grid.merge_beats and merged and merged[-1][1] == start and grid.beats.after(merged[-1][0]) >= end:
            merged[-1] = (merged[-1][0], end)
        else:
            merged.append((start, end))
    return merged


def _duplets(grid: Grid, rhythm: BarRhythm) -> list[Bracket]:
    """Two or four equal notes that fill a compound beat: 2:3 or 4:3 of its eighths. Mixed figures stay dotted."""
    found = []
    for start, end in grid.duplet_beats:
        if start not in rhythm.starts or (end != rhythm.end and end not in rhythm.starts):
            continue
        first = rhythm.starts.index(start)
        inner = rhythm.inside(start, end)
        count = len(inner) + 1
        equal = all((place - start) * count == (end - start) * index for index, place in enumerate(inner, 1))
        if count in (2, 4) and equal and all(rhythm.sounding[first : first + count]):
            found.append(Bracket(start, end, count, 3))
    return found


def ratio(start: int, end: int, inner: Sequence[int], whole: int) -> tuple[int, int]:
    """The ratio that a stretch needs for its inner boundaries.

    As many units as the boundaries ask for, in the time of the largest fitting number of plain units: 3:2, 5:4,
    7:4, 11:8 over an undotted value, 5:3, 7:6, 11:6 over a dotted one. Source: common practice.
    """
    length = end - start
    actual = lcm(*(odd_part(length // gcd(place - start, length)) for place in inner))
    value = note_value(length, whole)
    return actual, _normal(actual, value is not None and value[1] == 1)


def _normal(actual: int, dotted: bool) -> int:
    """The largest fitting number of plain units, over an undotted value or a dotted one."""
    normal = 3 if dotted else 1
    while normal * 2 <= actual:
        normal *= 2
    return normal


@dataclass(frozen=True, slots=True)
class _Search:
    """The cheapest brackets for a run, found from coarse boundaries to fine ones."""

    grid: Grid
    rhythm: BarRhythm
    origin: int
    """Where the levels are counted from: the bar line, or in free time the beginning of the run."""
    known: dict[TickSpan, tuple[int, tuple[Bracket, ...]]] = field(default_factory=dict)

    def best(self, start: int, end: int) -> tuple[int, tuple[Bracket, ...]]:
        """The cost and the brackets of a stretch between two plain places."""
        if (start, end) not in self.known:
            self.known[start, end] = self._choose(start, end)
        return self.known[start, end]

    def _choose(self, start: int, end: int) -> tuple[int, tuple[Bracket, ...]]:
        odd = [place for place in self.rhythm.inside(start, end) if (place - start) % self.grid.finest]
        if not odd:
            return 0, ()
        best: tuple[int, tuple[Bracket, ...]] | None = None
        single = self._single(start, end)
        if single is not None:
            best = single[0], (single[1],)
        for cut in self._cuts(start, end):
            tie = 1 if self.rhythm.sounds_across(cut) else 0
            # Each side that needs a bracket costs two at least: most cuts need not be followed up.
            if best is not None and tie + 2 * (odd[0] < cut) + 2 * (odd[-1] > cut) >= best[0]:
                continue
            before, after = self.best(start, cut), self.best(cut, end)
            cost = before[0] + after[0] + tie
            if best is None or cost < best[0]:
                best = cost, before[1] + after[1]
        assert best is not None, "the finest stretch can always stand under one bracket"
        return best

    def _single(self, start: int, end: int) -> tuple[int, Bracket] | None:
        """The cheapest single bracket over the stretch, if a note could stand there, and its cost."""
        value = note_value(end - start, self.grid.whole)
        if value is None or value[1] > 1:
            return None
        if self.grid.length and not stands_as_one(self.grid, start, end, 1):
            return None
        actual, normal = ratio(start, end, self.rhythm.inside(start, end), self.grid.whole)
        dotted = value[1] == 1
        if actual == 3 and not dotted and self._is_sextuplet(start, end):
            actual, normal = 6, 4
        found: list[tuple[int, Bracket]] = []
        if NARROWEST_NEST <= actual <= WIDEST_NEST:
            found.extend(self._nested(start, end, actual, dotted))
        if not (dotted and actual % 3 == 0):
            flat = Bracket(start, end, actual, normal)
            found.append((self._cost(flat), flat))
        # The nested one stands before a flat one of equal cost.
        return min(found, key=lambda each: each[0], default=None)

    def _nested(self, start: int, end: int, actual: int, dotted: bool) -> Iterator[tuple[int, Bracket]]:
        """A bracket of the prime that has the most boundaries on its grid, with what else is needed inside."""
        rhythm = self.rhythm.part(start, end)

        def off_grid(prime: int) -> int:
            return sum(1 for place in rhythm.starts if place % ((end - start) // prime))

        primes = [prime for prime in PRIMES if actual % prime == 0 and actual != prime and not (dotted and prime == 3)]
        for prime in sorted(primes, key=off_grid)[:1]:
            bracket = Bracket(start, end, prime, _normal(prime, dotted))
            cost, inner = _inside(bracket.grid(self.grid.whole), rhythm)
            yield 2 + _beats_hidden(self.grid.beats, bracket) + cost, replace(bracket, inner=inner)

    def inside(self) -> tuple[int, tuple[Bracket, ...]]:
        """The cost and the brackets of everything, as the inside of a bracket."""
        cost = 0
        found: list[Bracket] = []
        for start, end in _odd_runs(self.rhythm, self.grid.finest):
            more, brackets_there = self.best(start, end)
            cost += more
            found.extend(brackets_there)
        places = (*self.rhythm.starts, self.rhythm.end)
        plain = [(a, b) for a, b in pairwise(places) if a % self.grid.finest == 0 == b % self.grid.finest]
        off_unit = any(place % self.grid.beats.step for stretch in plain for place in stretch)
        ties = sum(len(note_pieces(self.grid, *stretch)) - 1 for stretch in plain if self.rhythm.sounds_at(stretch[0]))
        return cost + int(off_unit) + ties, tuple(found)

    def _is_sextuplet(self, start: int, end: int) -> bool:
        """Six equal notes or rests, which would be triplets of half the value."""
        places = (start, *self.rhythm.inside(start, end), end)
        return len(places) == 7 and all((place - start) * 6 == (end - start) * n for n, place in enumerate(places))

    def _cost(self, bracket: Bracket) -> int:
        """Two for a bracket, one a beat it hides, one a tie inside, fractions of its unit; four for 9, 15 ...."""
        inner = self.rhythm.inside(bracket.start, bracket.end)
        off_unit = any((place - bracket.start) % bracket.unit for place in inner)
        composite = 0 if bracket.actual in SIMPLE_RATIOS else 4 if bracket.actual <= 15 else 16
        return 2 + _beats_hidden(self.grid.beats, bracket) + int(off_unit) + composite + self._ties(bracket, inner)

    def _ties(self, bracket: Bracket, inner: tuple[int, ...]) -> int:
        inside = bracket.grid(self.grid.whole)
        places = (bracket.start, *inner, bracket.end)
        count = 0
        for place, following in pairwise(places):
            if self.rhythm.sounds_at(place):
                count += len(note_pieces(inside, place - bracket.start, following - bracket.start)) - 1
        return count

    def _cuts(self, start: int, end: int) -> list[int]:
        """Places to cut at: the outermost boundaries of the two coarsest levels that have any inside."""
        cuts: list[int] = []
        ranks = 0
        for level in self.grid.levels:
            first = level.after(start - self.origin) + self.origin
            if first >= end:
                continue
            cuts.extend((first, level.before(end - self.origin) + self.origin))
            ranks += 1
            if ranks == 2:
                break
        return list(dict.fromkeys(cuts))


@lru_cache(maxsize=4096)
def _inside(grid: Grid, rhythm: BarRhythm) -> tuple[int, tuple[Bracket, ...]]:
    """The cost and the brackets of the inside of a bracket."""
    return _Search(grid, rhythm, 0).inside()


@lru_cache(maxsize=4096)
def _count_inside(level: MetricLevel, start: int, end: int) -> int:
    count, place = 0, level.after(start)
    while place < end:
        count, place = count + 1, level.after(place)
    return count


def _beats_hidden(beats: MetricLevel, bracket: Bracket) -> int:
    return _count_inside(beats, bracket.start, bracket.end)
