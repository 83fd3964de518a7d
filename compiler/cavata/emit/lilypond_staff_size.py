"""How high the staves are: by how many stand in a system, and by the paper.

In: the number of staves and the paper. Out: a height in points, of the sizes that LilyPond has letters for. They come
near the old engravers' pens: 7 mm for piano and parts, 6.3 for chamber music, 5.6 and 4.9 for larger scores, 3.7 for
the full orchestra, the smallest pen (from memory of the rastra 3 to 8).
"""

from __future__ import annotations

from fractions import Fraction

from cavata.names.paper import Paper

POINT_MM = Fraction(254, 7227) * 10
"""A printer's point, 1/72.27 inch, in millimetres."""
SIZES = tuple(Fraction(size) for size in ("20", "18", "16", "14", "12", "10.5", "9", "8"))
READABLE = Fraction(21, 2)
"""Below it a conductor at a desk can hardly read: 3.7 mm."""
_USUAL = ((4, 20), (7, 18), (10, 16))
_LARGE = 14
"""A score of more staves, where the paper allows it."""
_AROUND_MM = 34
"""Margins, the page number, and room above and below the system."""
_STAFF_ROOM = Fraction(5, 2)
"""What a staff takes with the room to the next one, in its own height."""


def staff_size(staves: int, paper: Paper) -> Fraction:
    """The staff's height in points for so many staves in a system."""
    usual = next((size for most, size in _USUAL if staves <= most), _LARGE)
    room = (paper.height - _AROUND_MM) / (max(1, staves) * _STAFF_ROOM * POINT_MM)
    return next((size for size in SIZES if size <= min(Fraction(usual), room)), SIZES[-1])


def millimetres(size: Fraction) -> Fraction:
    """A height in points as millimetres."""
    return size * POINT_MM
