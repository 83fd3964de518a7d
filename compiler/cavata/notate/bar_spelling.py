"""One bar of one voice spelled: a pattern of lengths becomes leaves, brackets and beams.

In: the metre and the lengths of a bar's sounds and silences. Out: a `Spelling` that knows pieces by
number only, so that bars with the same rhythm share it whatever they sound. The leaves' true
lengths sum to each piece's length; each leaf is in one bracket at most.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from math import lcm

from cavata.notate.beams import Stem, beams, free_cells
from cavata.notate.meters import Grid, free_grid, metric_grid
from cavata.notate.note_values import note_value
from cavata.notate.splitting import Stretch, free_pieces, note_pieces, rest_pieces
from cavata.notate.tuplets import Bracket, Rhythm, brackets
from cavata.notate.written import Beam
from cavata.place.score import Meter


@dataclass(frozen=True, slots=True)
class Slot:
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

    slots: tuple[Slot, ...]
    folds: tuple[Fold, ...]


@dataclass(frozen=True, slots=True)
class _Cut:
    """One leaf's stretch of the bar, and the bracket it lies in."""

    piece: int
    start: int
    end: int
    bracket: int
    """Index of its bracket, -1 for none."""


@lru_cache(maxsize=16384)
def spell_bar(meter: Meter | None, pickup: bool, whole: int, lengths: tuple[int, ...]) -> Spelling:
    """Spell a bar.

    `whole` is the ticks of a whole note; a sound has its length in ticks, a silence the same below zero. A
    pick-up is spelled as the end of its bar.
    """
    finer = lcm(whole, 4 * meter.denominator if meter else 1, 64) // whole
    whole *= finer
    ticks = [abs(length) * finer for length in lengths]
    grid = metric_grid(meter, whole) if meter else free_grid(whole)
    lead = grid.length - sum(ticks) if pickup and grid.length else 0
    places = tuple(accumulate(ticks, initial=lead))
    rhythm = Rhythm(places[:-1], tuple(length > 0 for length in lengths), places[-1])
    found = brackets(grid, rhythm)
    cuts = [cut for piece in range(len(lengths)) for cut in _piece_cuts(grid, rhythm, found, piece)]
    return _assembled(grid, rhythm, found, cuts, lead)


def _piece_cuts(grid: Grid, rhythm: Rhythm, found: Sequence[Bracket], piece: int) -> list[_Cut]:
    """A piece cut at the edges of brackets, then spelled in and between them."""
    start = rhythm.starts[piece]
    end = rhythm.starts[piece + 1] if piece + 1 < len(rhythm.starts) else rhythm.end
    cuts: list[_Cut] = []
    for index, bracket in enumerate(found):
        if bracket.end <= start or bracket.start >= end:
            continue
        if start < bracket.start:
            cuts.extend(_spelled(grid, rhythm, piece, (start, bracket.start), 0, -1))
            start = bracket.start
        until = min(end, bracket.end)
        cuts.extend(_spelled(bracket.grid(grid.whole), rhythm, piece, (start, until), bracket.start, index))
        start = until
    if start < end:
        cuts.extend(_spelled(grid, rhythm, piece, (start, end), 0, -1))
    return cuts


def _spelled(grid: Grid, rhythm: Rhythm, piece: int, stretch: Stretch, origin: int, bracket: int) -> list[_Cut]:
    start, end = stretch[0] - origin, stretch[1] - origin
    if not grid.length:
        pieces = free_pieces(grid.whole, start, end)
    elif rhythm.sounding[piece]:
        pieces = note_pieces(grid, start, end)
    else:
        pieces = rest_pieces(grid, start, end)
    return [_Cut(piece, first + origin, last + origin, bracket) for first, last in pieces]


def _assembled(
    grid: Grid, rhythm: Rhythm, found: Sequence[Bracket], cuts: Sequence[_Cut], lead: int
) -> Spelling:
    values = [_value(grid.whole if cut.bracket < 0 else found[cut.bracket].written_whole(grid.whole), cut)
              for cut in cuts]  # fmt: skip
    groups = beams(_stems(grid, rhythm, found, cuts, values))
    slots = tuple(
        Slot(
            cut.piece, value[0], value[1], group, Fraction(cut.start - lead, grid.whole),
            index == 0 or cuts[index - 1].piece != cut.piece,
            index + 1 == len(cuts) or cuts[index + 1].piece != cut.piece,
        )
        for index, (cut, value, group) in enumerate(zip(cuts, values, groups, strict=True))
    )  # fmt: skip
    return Spelling(slots, tuple(_folds(grid, found, cuts)))


def _value(whole: int, cut: _Cut) -> tuple[Fraction, int]:
    value = note_value(cut.end - cut.start, whole)
    assert value is not None, "splitting gives note values only"
    return value


def _folds(grid: Grid, found: Sequence[Bracket], cuts: Sequence[_Cut]) -> list[Fold]:
    folds = []
    for index, bracket in enumerate(found):
        inside = [place for place, cut in enumerate(cuts) if cut.bracket == index]
        unit = Fraction(bracket.unit, bracket.written_whole(grid.whole))
        folds.append(Fold(inside[0], inside[-1], bracket.actual, bracket.normal, unit))
    return folds


def _stems(
    grid: Grid, rhythm: Rhythm, found: Sequence[Bracket], cuts: Sequence[_Cut], values: Sequence[tuple[Fraction, int]]
) -> list[Stem]:
    stems = [
        Stem(cut.start, cut.end, value[0], value[1], rhythm.sounding[cut.piece], _cell(grid, found, cut))
        for cut, value in zip(cuts, values, strict=True)
    ]
    cells: list[object] = [stem.cell for stem in stems]
    if not grid.length:
        cells = _free_cells(grid, cuts, stems)
    for start, end in grid.beam_joins:
        inside = [index for index, stem in enumerate(stems) if start <= stem.start < end]
        filled = sum(stems[index].end - stems[index].start for index in inside) == end - start
        if filled and all(stems[index].plain_eighth and cuts[index].bracket < 0 for index in inside):
            for index in inside:
                cells[index] = ("joined", start)
            if (start, end) == (0, grid.length):
                break
    return [Stem(s.start, s.end, s.base, s.dots, s.sounding, cell) for s, cell in zip(stems, cells, strict=True)]


def _free_cells(grid: Grid, cuts: Sequence[_Cut], stems: Sequence[Stem]) -> list[object]:
    """In free time a bracket has its own beam."""
    plain = free_cells(stems, grid.whole // 4)
    return [
        ("free", cell) if cut.bracket < 0 else stem.cell
        for cell, cut, stem in zip(plain, cuts, stems, strict=True)
    ]  # fmt: skip


def _cell(grid: Grid, found: Sequence[Bracket], cut: _Cut) -> object:
    """The beat a leaf is beamed by; inside a bracket wider than a beat, the bracket's own cell."""
    if cut.bracket < 0:
        return ("beat", grid.beam_cells.before(cut.start + 1))
    bracket = found[cut.bracket]
    beat = grid.beam_cells.before(bracket.start + 1)
    if grid.length and grid.beam_cells.after(bracket.start) >= bracket.end:
        return ("beat", beat)
    inside = bracket.grid(grid.whole).beam_cells
    return ("bracket", cut.bracket, inside.before(cut.start - bracket.start + 1))
