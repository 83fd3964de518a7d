"""One sound or silence as note values: where a note is tied, how a silence is spelled.

In: a grid and a stretch of it in ticks. Out: the stretch cut into pieces, each one note value.
A note has as few pieces as the grid allows, cut at its coarsest boundary; a rest fills cells of the
grid and never hides a beat. Source: common practice.
"""

from __future__ import annotations

from functools import lru_cache

from cavata.notate.meters import Grid, stands_as_one
from cavata.notate.note_values import note_value

Stretch = tuple[int, int]
_RANKS = 3
"""How many levels, from the coarsest with a boundary inside, are tried for a cut; finer ones never save a tie."""


@lru_cache(maxsize=16384)
def note_pieces(grid: Grid, start: int, end: int) -> tuple[Stretch, ...]:
    """The fewest tied notes that make the stretch, each of which may stand where it does."""
    if stands_as_one(grid, start, end):
        return ((start, end),)
    assert start % grid.finest == 0 and end % grid.finest == 0, "a bracket holds what no halving reaches"
    best: tuple[Stretch, ...] = ()
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
def rest_pieces(grid: Grid, start: int, end: int) -> tuple[Stretch, ...]:
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


def free_pieces(whole: int, start: int, end: int) -> tuple[Stretch, ...]:
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
    return start + (dotted if plain % 2 == 0 and dotted <= end - start else plain)
