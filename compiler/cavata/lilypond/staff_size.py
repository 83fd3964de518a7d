"""How high the staves are: by how many stand in a system, and by the paper.

In: the number of staves and the paper. Out: a height in points, of the sizes that LilyPond has letters for. They come
near the old engravers' pens: 7 mm for piano and parts, 6.3 for chamber music, 5.6 and 4.9 for larger scores, 3.7 for
the full orchestra, the smallest pen (from memory of the rastra 3 to 8).
"""

from __future__ import annotations

from fractions import Fraction
from math import log2

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
_LETTERS = Fraction(11, 20)
"""The height of letters in a staff's height, as LilyPond has them."""
_MARKS, _SMALLEST_NAME = Fraction(9), Fraction(7)
"""Points: letters of tempi and rehearsal marks, and of names, are no smaller."""
_NAMED = ("Staff", "RhythmicStaff", "PianoStaff")
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


def name_points(size: Fraction) -> Fraction:
    """The height of the letters of instruments' names: those of a 20-point staff are 11 points high, none below 7."""
    return max(_LETTERS * size, _SMALLEST_NAME)


def text_settings(size: Fraction) -> str:
    """What is told to all players, enlarged in a score of small staves so that a conductor can read it."""
    marks, names = _steps(_MARKS / (_LETTERS * size)), _steps(_SMALLEST_NAME / (_LETTERS * size))
    if not marks:
        return ""
    grown = (("MetronomeMark", marks), ("RehearsalMark", 2 + marks), ("BarNumber", marks - 2))
    score = [f"        \\override {name}.font-size = #{steps:g}" for name, steps in grown]
    staff = f"        \\override InstrumentName.font-size = #{names:g}"
    blocks = [_context("Score", score), *(_context(name, [staff]) for name in _NAMED if names)]
    return "\n".join(["\\layout", "{", *blocks, "}"]) + "\n"


def _context(name: str, lines: list[str]) -> str:
    return "\n".join(["    \\context", "    {", f"        \\{name}", *lines, "    }"])


def _steps(factor: Fraction) -> float:
    """LilyPond's steps of font size for a factor: six double it; none for a factor below one."""
    return round(max(0.0, 6 * log2(factor)), 1)
