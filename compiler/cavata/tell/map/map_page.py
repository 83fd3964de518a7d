"""The measures of the map's page: where time, parts and lanes lie.

In: the map. Out: lengths in units of the page, which is as wide as a sheet of A4 on its side.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.record import dataclass
from cavata.tell.map.drawing import width_of
from cavata.tell.map.map import PieceMap

WIDTH = 1120.0
MARGIN = 14.0
NAME_SIZE, SMALL = 9.5, 8.0
"""Sizes of letters."""
_WIDEST_LABEL = 150.0
_TITLE, _DENSITY, _HEADS = 46.0, 48.0, 30.0
_GAP = 4.0
_NAMELESS = 3.0
"""The height of the lane of notes that no name gave."""


@dataclass(frozen=True, slots=True)
class Page:
    """Where everything lies."""

    left: float
    """Where time begins."""
    right: float
    density_top: float
    density_foot: float
    top: float
    """Of the first part."""
    lane: float
    """The height of a name's lane."""
    row: float
    """The height of a part, with the space below it."""
    foot: float
    """Of the last part."""
    seconds: Fraction

    def x(self, seconds: Fraction) -> float:
        """Where a moment lies."""
        return self.left + float(seconds / self.seconds) * (self.right - self.left) if self.seconds else self.left

    def row_top(self, part: int) -> float:
        """Where a part's first lane begins."""
        return self.top + part * self.row

    def lane_top(self, part: int, name: int) -> float:
        """Where the lane of a name begins."""
        return self.row_top(part) + _GAP / 2 + name * self.lane


def page_of(piece: PieceMap) -> Page:
    """The measures that a map needs."""
    names = len(piece.names)
    longest = max((width_of(part, NAME_SIZE) for part in piece.parts), default=0)
    left = MARGIN + min(longest, _WIDEST_LABEL) + 14
    lane = 9.0 if names <= 3 else 7.5 if names <= 5 else 6.0
    row = max(names * lane + _NAMELESS + _GAP, NAME_SIZE + 5)
    density_top = MARGIN + _TITLE
    top = density_top + _DENSITY + _HEADS
    return Page(
        left, WIDTH - MARGIN, density_top, density_top + _DENSITY, top, lane, row, top + row * len(piece.parts),
        max(piece.index.length, Fraction(1, 10)),
    )  # fmt: skip
