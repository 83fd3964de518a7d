"""Several names at once: the readings whose notes together are most of the twelve, with the fewest inflections.

In: what was explored for each name. Out: one reading a name. Of equals the first in the order of the search is taken.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from cavata.explore.criteria import ReadingArrays
from cavata.explore.explore import Explored
from cavata.explore.space import Space
from cavata.record import record

_MASKS = 4096
_NONE = np.iinfo(np.int64).max


@record
class Twelve:
    """One reading of each name."""

    notes: int
    """How many of the twelve are heard."""
    inflections: int
    readings: tuple[tuple[Space, int], ...]


def all_twelve(found: Sequence[Explored]) -> Twelve:
    """The readings that together have most of the twelve notes."""
    offered = [_offered(one) for one in found]
    best = np.full(_MASKS, _NONE, np.int64)
    best[0] = 0
    trail: list[tuple[NDArray[np.int64], NDArray[np.int64]]] = []
    for masks, costs, _ in offered:
        reached = np.flatnonzero(best < _NONE)
        joined = reached[:, None] | masks[None, :]
        # Cost first, then which state was before, then which reading: one number that orders all three.
        rank = (best[reached][:, None] + costs[None, :]) * (_MASKS * len(masks))
        rank = rank + reached[:, None] * len(masks) + np.arange(len(masks))[None, :]
        after = np.full(_MASKS, _NONE, np.int64)
        np.minimum.at(after, joined, rank)
        done = after < _NONE
        before = np.where(done, after // len(masks) % _MASKS, 0)
        taken = np.where(done, after % len(masks), 0)
        best = np.where(done, after // (_MASKS * len(masks)), _NONE)
        trail.append((before, taken))
    heard = np.array([int(mask).bit_count() for mask in range(_MASKS)])
    order = np.lexsort((np.arange(_MASKS), best, -np.where(best < _NONE, heard, -1)))
    mask = int(order[0])
    notes, inflections = int(heard[mask]), int(best[mask])
    readings = []
    for (before, taken), (_, _, places) in zip(reversed(trail), reversed(offered), strict=True):
        readings.append(places[int(taken[mask])])
        mask = int(before[mask])
    return Twelve(notes, inflections, tuple(reversed(readings)))


def _offered(one: Explored) -> tuple[NDArray[np.int64], NDArray[np.int64], list[tuple[Space, int]]]:
    """For each set of notes that a name can have: the set, the fewest inflections, and the first such reading."""
    least: dict[int, tuple[int, Space, int]] = {}
    for space, kept in zip(one.spaces, one.kept, strict=True):
        lines = ReadingArrays(space)
        masks = ((lines.classes() > 0) * (1 << np.arange(12))).sum(axis=1)
        rows, first = np.unique(kept // len(space.shifts), return_index=True)
        for row, place in zip(rows.tolist(), first.tolist(), strict=True):
            mask, cost = int(masks[row]), int(lines.inflected[row])
            if mask not in least or cost < least[mask][0]:
                least[mask] = (cost, space, int(kept[place]))
    order = sorted(least)
    return (
        np.array(order, np.int64),
        np.array([least[mask][0] for mask in order], np.int64),
        [least[mask][1:] for mask in order],
    )
