"""Placements in order, the best first, where only a closer look tells how many faults one has.

In: a table of what placements are ranked by, with no more faults than each has and no license, and a function that
counts both. Out: their numbers in the true order. A placement is looked at when nothing can come before it, so that
most are never looked at.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

RankedRow = tuple[int, int, int]
"""Form, transposition and delay, each by its number."""
COLUMNS = 8
"""Faults; how the lines go together; licenses; two more by which equals are ranked; and the three numbers."""
_FAULTS, _LICENSES, _ROW = 0, 2, 5


class Order:
    """The placements of one search."""

    def __init__(self, table: NDArray[np.int64], looked: Callable[[RankedRow], tuple[int, int]] | None) -> None:
        self._table = table
        self._looked = looked
        self._true: dict[RankedRow, tuple[int, int]] = {}

    def best_first(self) -> Iterator[RankedRow]:
        """Every placement, fewest faults first."""
        table = self._table
        order = np.lexsort(table[::-1])
        if self._looked is None:
            yield from ((r[0], r[1], r[2]) for r in table[_ROW:, order].T.tolist())
            return
        waiting = iter(table[:, order].T.tolist())
        following = next(waiting, None)
        looked_at: list[list[int]] = []
        while looked_at or following is not None:
            if following is not None and (not looked_at or following < looked_at[0]):
                heapq.heappush(looked_at, self._truly(following))
                following = next(waiting, None)
                continue
            row = heapq.heappop(looked_at)
            yield row[_ROW], row[_ROW + 1], row[_ROW + 2]

    def clean(self) -> int:
        """How many have no fault."""
        rows = self._table[:, self._table[_FAULTS] == 0].T.tolist()
        return sum(self._looked is None or not self._truly(row)[_FAULTS] for row in rows)

    def _truly(self, ranked: list[int]) -> list[int]:
        """A row of the table with its true faults and licenses."""
        assert self._looked is not None
        row = (ranked[_ROW], ranked[_ROW + 1], ranked[_ROW + 2])
        if row not in self._true:
            self._true[row] = self._looked(row)
        faults, licenses = self._true[row]
        return [faults, *ranked[1:_LICENSES], licenses, *ranked[_LICENSES + 1 :]]
