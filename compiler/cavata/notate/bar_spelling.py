"""One bar of one voice spelled: a pattern of lengths becomes leaves, brackets and beams.

In: the meter and the lengths of a bar's sounds and silences. Out: a `Spelling` that knows pieces by
number only, so that bars with the same rhythm share it whatever they sound. The leaves' true
lengths sum to each piece's length; brackets may stand inside brackets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from math import lcm

from cavata.notate.beams import Stem, beams, free_cells
from cavata.notate.meters import Grid, free_grid, metric_grid
from cavata.notate.tuplets import BarRhythm, Bracket, brackets, free_pieces, note_pieces, rest_pieces
from cavata.notate.written import Beam, note_value
from cavata.score.score import Meter


@dataclass(frozen=True, slots=True)
class LeafSlot:
    """A leaf without its notes."""

    piece: int
    """Which sound or silence of the bar it spells, counted from 0."""
    base: Fraction
    dots: int
    beams: tuple[Beam, ...]
    onset: Fraction
    """In the bar, in whole notes."""
    first: bool
    """It begins its piece."""
    last: bool
    """It ends its piece."""


@dataclass(frozen=True, slots=True)
class Fold:
    """A tuplet over consecutive slots."""

    first: int
    """Index of its first slot."""
    last: int
    actual: int
    normal: int
    unit: Fraction


@dataclass(frozen=True, slots=True)
class Spelling:
    """A bar's leaves in order and the tuplets over them."""

    slots: tuple[LeafSlot, ...]
    folds: tuple[Fold, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """The bar, or the inside of a bracket: a grid, where it stands in the bar, and the brackets in it."""

    grid: Grid
    start: int
    end: int
    number: int
    """-1 for the bar; its brackets are numbered in order, each before those inside it."""
    last: int
    """The number of the last bracket inside it, or its own."""
    bracket: Bracket | None
    inner: tuple[_Ground, ...]


@dataclass(frozen=True, slots=True)
class _Cut:
    """One leaf's stretch of the bar, and the innermost ground it lies in with those around it."""

    piece: int
    start: int
    end: int
    grounds: tuple[_Ground, ...]
    """The bar first."""

    @property
    def ground(self) -> _Ground:
        """The innermost."""
        return self.grounds[-1]


@lru_cache(maxsize=16384)
def spell_bar(meter: Meter | None, pickup: bool, whole: int, lengths: tuple[int, ...]) -> Spelling:
    """Spell a bar.

    `whole` is the ticks of a whole note; a sound has its length in ticks, a silence the same below zero. A
    pickup is spelled as the end of its bar.
    """
    finer = lcm(whole, 4 * meter.denominator if meter else 1, 64) // whole
    whole *= finer
    ticks = [abs(length) * finer for length in lengths]
    grid = metric_grid(meter, whole) if meter else free_grid(whole)
    lead = grid.length - sum(ticks) if pickup and grid.length else 0
    places = tuple(accumulate(ticks, initial=lead))
    rhythm = BarRhythm(places[:-1], tuple(length > 0 for length in lengths), places[-1])
    bar = _ground(grid, 0, places[-1], -1, None, brackets(grid, rhythm))
    edges = (*rhythm.starts, rhythm.end)
    cuts = [
        cut for piece, (start, end) in enumerate(pairwise(edges)) for cut in _cuts((bar,), rhythm, piece, start, end)
    ]
    return _assembled(bar, rhythm, cuts, lead)


def _ground(
    grid: Grid, start: int, end: int, number: int, bracket: Bracket | None, brackets: Sequence[Bracket]
) -> _Ground:
    inner: list[_Ground] = []
    last = number
    for each in brackets:
        inside = _ground(
            each.grid(grid.whole), start + each.start, start + each.end, last + 1, each, each.inner
        )
        inner.append(inside)
        last = inside.last
    return _Ground(grid, start, end, number, last, bracket, tuple(inner))


def _cuts(grounds: tuple[_Ground, ...], rhythm: BarRhythm, piece: int, start: int, end: int) -> Iterator[_Cut]:
    """A piece cut at the edges of brackets, then spelled in and between them."""
    for inside in grounds[-1].inner:
        if inside.end <= start or inside.start >= end:
            continue
        if start < inside.start:
            yield from _spelled(grounds, rhythm, piece, start, inside.start)
            start = inside.start
        until = min(end, inside.end)
        yield from _cuts((*grounds, inside), rhythm, piece, start, until)
        start = until
    if start < end:
        yield from _spelled(grounds, rhythm, piece, start, end)


def _spelled(grounds: tuple[_Ground, ...], rhythm: BarRhythm, piece: int, start: int, end: int) -> Iterator[_Cut]:
    ground = grounds[-1]
    grid, origin = ground.grid, ground.start
    if not grid.length:
        pieces = free_pieces(grid.whole, start, end)
    elif rhythm.sounding[piece]:
        pieces = note_pieces(grid, start - origin, end - origin)
    else:
        pieces = rest_pieces(grid, start - origin, end - origin)
    for first, last in pieces:
        yield _Cut(piece, first + origin, last + origin, grounds)


def _assembled(bar: _Ground, rhythm: BarRhythm, cuts: Sequence[_Cut], lead: int) -> Spelling:
    values = [_value(cut.ground.grid.whole, cut) for cut in cuts]
    folds = tuple(_folds(bar, cuts))
    groups = beams(_stems(bar, rhythm, cuts, values), tuple((fold.first, fold.last) for fold in folds))
    slots = tuple(
        LeafSlot(
            cut.piece, value[0], value[1], group, Fraction(cut.start - lead, bar.grid.whole),
            index == 0 or cuts[index - 1].piece != cut.piece,
            index + 1 == len(cuts) or cuts[index + 1].piece != cut.piece,
        )
        for index, (cut, value, group) in enumerate(zip(cuts, values, groups, strict=True))
    )  # fmt: skip
    return Spelling(slots, folds)


def _value(whole: int, cut: _Cut) -> tuple[Fraction, int]:
    value = note_value(cut.end - cut.start, whole)
    assert value is not None, "splitting gives note values only"
    return value


def _folds(ground: _Ground, cuts: Sequence[_Cut]) -> Iterator[Fold]:
    """The tuplets of a ground, each before those inside it."""
    for inside in ground.inner:
        assert inside.bracket is not None
        places = [place for place, cut in enumerate(cuts) if inside.number <= cut.ground.number <= inside.last]
        unit = Fraction(inside.bracket.unit, inside.grid.whole)
        yield Fold(places[0], places[-1], inside.bracket.actual, inside.bracket.normal, unit)
        yield from _folds(inside, cuts)


def _stems(
    bar: _Ground, rhythm: BarRhythm, cuts: Sequence[_Cut], values: Sequence[tuple[Fraction, int]]
) -> list[Stem]:
    grid = bar.grid
    stems = [
        Stem(cut.start, cut.end, value[0], value[1], rhythm.sounding[cut.piece], _cell(cut.grounds, cut.start))
        for cut, value in zip(cuts, values, strict=True)
    ]
    cells: list[object] = [stem.cell for stem in stems]
    if not grid.length:
        cells = _free_cells(grid, cuts, stems)
    for start, end in grid.beam_joins:
        inside = [index for index, stem in enumerate(stems) if start <= stem.start < end]
        filled = sum(stems[index].end - stems[index].start for index in inside) == end - start
        if filled and all(stems[index].plain_eighth and cuts[index].ground is bar for index in inside):
            for index in inside:
                cells[index] = ("joined", start)
            if (start, end) == (0, grid.length):
                break
    return [Stem(s.start, s.end, s.base, s.dots, s.sounding, cell) for s, cell in zip(stems, cells, strict=True)]


def _free_cells(grid: Grid, cuts: Sequence[_Cut], stems: Sequence[Stem]) -> list[object]:
    """In free time a bracket has its own beam."""
    plain = free_cells(stems, grid.whole // 4)
    return [
        ("free", cell) if cut.ground.bracket is None else stem.cell
        for cell, cut, stem in zip(plain, cuts, stems, strict=True)
    ]  # fmt: skip


def _cell(grounds: tuple[_Ground, ...], place: int) -> object:
    """The beat a leaf is beamed by; inside a bracket wider than what is beamed around it, the bracket's own cell."""
    ground = grounds[-1]
    if ground.bracket is None:
        return ("beat", ground.grid.beam_cells.before(place + 1))
    outer = grounds[-2]
    fits = outer.grid.beam_cells.after(ground.start - outer.start) >= ground.end - outer.start
    if outer.grid.length and fits:
        return _cell(grounds[:-1], ground.start)
    return ("bracket", ground.number, ground.grid.beam_cells.before(place - ground.start + 1))
