"""The levels of a meter: where its bar divides, coarse to fine, and what beats it is felt in.

In: a meter and the ticks of a whole note. Out: a `Grid` in those ticks, counted from the bar line.
The rules are common practice where no other source stands: simple beats divide by two, groups of
three in compound meter are beats, an irregular bar is heard in its groups.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise

from cavata.notate.written import note_value, odd_part
from cavata.score.score import Meter


@dataclass(frozen=True, slots=True)
class MetricLevel:
    """Boundaries of one rank: given points, or every multiple of a step."""

    points: tuple[int, ...] = ()
    step: int = 0
    strict: bool = False
    """A note crosses its boundaries only from one to another: beats of compound meter, groups of an irregular bar."""
    dotted_rests: bool = False
    """A dotted rest may fill one of its cells: a beat of three."""

    def has(self, place: int) -> bool:
        """Whether a boundary lies there."""
        return place % self.step == 0 if self.step else place in self.points

    def after(self, place: int) -> int:
        """The first boundary after a place; one far away where there is none."""
        if self.step:
            return place - place % self.step + self.step
        index = bisect_right(self.points, place)
        return self.points[index] if index < len(self.points) else 1 << 62

    def before(self, place: int) -> int:
        """The last boundary before a place; one far away where there is none."""
        if self.step:
            return (place - 1) // self.step * self.step
        index = bisect_left(self.points, place)
        return self.points[index - 1] if index else -1 << 62


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """A bar, or the inside of a tuplet, as a hierarchy of boundaries in ticks.

    Grids are made once each and compared by identity, so that they can key caches cheaply.
    """

    whole: int
    """Ticks of a whole note as written here."""
    length: int
    levels: tuple[MetricLevel, ...]
    beats: MetricLevel
    rest_levels: tuple[MetricLevel, ...]
    """Levels whose cells a rest may fill."""
    rest_extras: tuple[tuple[int, int], ...] = ()
    """Further places for one rest: a dotted eighth from the beat, a quarter from a compound beat."""
    beam_cells: MetricLevel = MetricLevel()
    beam_joins: tuple[tuple[int, int], ...] = ()
    """Stretches beamed as one when they hold nothing but eighths."""
    duplet_beats: tuple[tuple[int, int], ...] = ()
    """The beats of compound meter, where two or four equal notes make a duplet or quadruplet."""
    cuts: tuple[MetricLevel, ...] = ()
    """Where a note that needs several pieces is cut, coarse to fine, if not at the levels themselves."""
    merge_beats: bool = False
    """Two brackets side by side within a beat become one: simple meter with beats of a quarter or less."""
    double_dots: bool = True
    three_beats: bool = False
    """A bar of three simple beats: it has no half to hold on to, so a dotted note off the beat shows the beat."""

    @property
    def finest(self) -> int:
        """The shortest length that halving a whole note reaches, in ticks; multiples of it are plain."""
        return odd_part(self.whole)


def binary_levels(unit: int, finest: int) -> tuple[MetricLevel, ...]:
    """The levels below a unit: its halves, quarters and so on."""
    found = []
    while unit % 2 == 0 and unit > finest:
        unit //= 2
        found.append(MetricLevel(step=unit))
    return tuple(found)


def beat_groups(meter: Meter) -> tuple[int, ...]:
    """The groups a bar is cut and beamed by, in units of its denominator.

    Where the meter counts single beats, the middle of four is shown, five is 3+2, seven of quarters 4+3
    and of eighths 2+2+3. Source: common practice.
    """
    if any(group != 1 for group in meter.groups):
        return meter.groups
    count = meter.numerator
    if count <= 3:
        return meter.groups if meter.denominator <= 4 else (count,)
    if meter.denominator >= 8 and count not in (5,):
        return (2,) * (count // 2) if count % 2 == 0 else (*(2,) * (count // 2 - 1), 3)
    return {4: (2, 2), 5: (3, 2), 6: (3, 3), 7: (4, 3)}.get(count, (*(4,) * (count // 4 - 1), 4 + count % 4))


@lru_cache(maxsize=256)
def metric_grid(meter: Meter, whole: int) -> Grid:
    """The grid of a full bar. The ticks of a whole note must be a multiple of four times the denominator."""
    unit = whole // meter.denominator
    groups = beat_groups(meter)
    edges = tuple(accumulate((size * unit for size in groups), initial=0))
    length = edges[-1]
    compound = set(groups) == {3} and (len(groups) > 1 or meter.denominator >= 8)
    by_group = compound or meter.denominator >= 8
    irregular = len(set(groups)) > 1
    group_level = MetricLevel(edges, strict=compound or irregular, dotted_rests=by_group)
    levels = []
    if len(groups) == 4 and not irregular:
        levels.append(MetricLevel((0, edges[2], length), dotted_rests=compound))
    levels.append(group_level)
    if any(size % 4 == 0 for size in groups):
        halves = {start + (end - start) // 2 for (start, end), size in zip(pairwise(edges), groups, strict=True)
                  if size % 2 == 0}  # fmt: skip
        levels.append(MetricLevel(tuple(sorted(halves.union(edges)))))
    levels.append(MetricLevel(step=unit))
    levels.extend(binary_levels(unit, odd_part(whole)))
    beats = group_level if by_group else MetricLevel(step=unit)
    return Grid(
        whole, length, tuple(levels), beats, tuple(levels),
        _rest_extras(edges, groups, unit, whole, by_group),
        _beam_cells(beats, unit, whole, by_group),
        _beam_joins(edges, unit, whole),
        tuple(pairwise(edges)) if compound else (),
        merge_beats=not by_group and unit * 4 <= whole,
        three_beats=groups == (1, 1, 1),
    )  # fmt: skip


def _rest_extras(
    edges: tuple[int, ...], groups: tuple[int, ...], unit: int, whole: int, by_group: bool
) -> tuple[tuple[int, int], ...]:
    if by_group:
        return tuple((start, start + 2 * unit) for start, size in zip(edges, groups, strict=False) if size == 3)
    if unit * 4 > whole:
        return ()
    return tuple((start, start + unit * 3 // 4) for start in range(0, edges[-1], unit))


def _beam_cells(beats: MetricLevel, unit: int, whole: int, by_group: bool) -> MetricLevel:
    quarter = whole // 4
    if by_group and unit * 8 <= whole:
        return beats
    return MetricLevel(step=min(unit, quarter))


def _beam_joins(edges: tuple[int, ...], unit: int, whole: int) -> tuple[tuple[int, int], ...]:
    """Groups, beats of a half, and a whole bar of two or three quarters; nothing longer than three quarters."""
    length = edges[-1]
    joins = list(pairwise(edges))
    if 2 * unit == whole:
        joins.extend((start, start + unit) for start in range(0, length, unit))
    if (2 * length == whole or 4 * length == 3 * whole) and 4 * unit == whole:
        joins.insert(0, (0, length))
    return tuple(join for join in joins if 4 * (join[1] - join[0]) <= 3 * whole)


@lru_cache(maxsize=1024)
def bracket_grid(actual: int, unit: int, whole: int) -> Grid:
    """The inside of a tuplet of so many units; `whole` is the whole note as written inside it."""
    length = actual * unit
    levels = (MetricLevel(step=unit), *binary_levels(unit, odd_part(whole)))
    larger = tuple(MetricLevel(step=unit * 2**power) for power in range(actual.bit_length() - 1, 0, -1))
    extras = ((unit, 3 * unit),) if actual == 3 else ()
    quarter = whole // 4
    cells = MetricLevel(step=unit) if unit >= quarter else MetricLevel((0, length))
    coarse_first = (*larger, *levels)
    return Grid(whole, length, levels, levels[0], coarse_first, extras, cells, cuts=coarse_first, double_dots=False)


@lru_cache(maxsize=256)
def free_grid(whole: int) -> Grid:
    """Free time: halves of halves with no beat; the length is open."""
    levels = tuple(MetricLevel(step=whole * 4 // 2**power) for power in range(4))
    levels += binary_levels(whole // 2, odd_part(whole))
    return Grid(whole, 0, levels, MetricLevel(step=whole // 4), levels)


def stands_as_one(grid: Grid, start: int, end: int, dots: int = 2) -> bool:
    """Whether one note, with that many dots at most, may stand here untied.

    It crosses a boundary only when it starts or ends on one of that rank or a higher one, or when it is the
    plain syncopation around it (eighth, quarter, eighth). Two dots only from a beat, within a group. In a bar of three
    beats a dotted note from off the beat is tied, so that the beat shows.
    Source: common practice.
    """
    value = note_value(end - start, grid.whole)
    if value is None or value[1] > dots:
        return False
    if value[1] == 2 and not (grid.double_dots and grid.beats.has(start)):
        return False
    if grid.three_beats and value[1] and not grid.beats.has(start) and grid.beats.after(start) < end:
        return False
    for level in grid.levels:
        inner = level.after(start)
        if inner >= end:
            continue
        from_here, to_here = level.has(start), level.has(end)
        if (from_here and to_here and value[1] < 2) if level.strict else (from_here or to_here):
            continue
        if level.strict or not _syncopates(level, start, inner, end):
            return False
    return True


def _syncopates(level: MetricLevel, start: int, middle: int, end: int) -> bool:
    return 2 * (middle - start) == middle - level.before(middle) and 2 * (end - middle) == level.after(middle) - middle
