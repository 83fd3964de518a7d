"""Whether the last page is filled like the others.

In: the movements of a copy, the height of its staves, and the paper. Out: LilyPond text that leaves the page of a very
short piece as it is, with its systems together at the top; nothing for a longer one. Judged by a coarse measure.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from cavata.lilypond.staff_size import millimetres
from cavata.names.paper import Paper
from cavata.notate.written import WrittenMovement

_IN_A_LINE = 30
"""About how many notes of the busiest staff stand in a line at a staff of 20 points."""
_ROOM = 3
"""What a staff of a short piece takes with the room around it, in its own height."""
_HEAD_MM = 70
"""Margins and titles."""
_LEAST = Fraction(2, 3)
"""A piece that fills less of its page stands at the top."""
AS_IT_IS = "\\paper\n{\n    ragged-last-bottom = ##t\n}\n"
"""The setting for a last page whose systems stay together at the top."""


def last_page(movements: Iterable[WrittenMovement], size: Fraction, paper: Paper) -> str:
    """The setting for a copy of these movements."""
    height = sum((_lines(movement, size) * _staves(movement) for movement in movements), Fraction(0))
    filled = height * _ROOM * millimetres(size) / (paper.height - _HEAD_MM)
    return AS_IT_IS if filled < _LEAST else ""


def _staves(movement: WrittenMovement) -> int:
    return sum(len(part.staves) for part in movement.parts)


def _lines(movement: WrittenMovement, size: Fraction) -> int:
    staves = [staff for part in movement.parts for staff in part.staves]
    notes = sum(
        max((len(voice) for staff in staves for voice in staff.bars[place].voices), default=0) + 2
        for place in range(len(movement.frames))
    )
    return max(1, -(-notes * size // (20 * _IN_A_LINE)))
