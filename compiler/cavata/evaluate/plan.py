"""The plan: the value of every definition, and the rows of movements with values in them.

The rows are those of the syntax tree. Passages are opened: each of their lines knows where they were placed.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from cavata.ciphers.cipher import Cipher
from cavata.music.event import Bars, Figure, Motif, Rhythm, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.names import program as p
from cavata.record import record
from cavata.syntax import tree as t
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection

Music = Motif | Texture | Rhythm
Value = Music | Figure | Cipher
ArgumentValue = Value | p.Constant

PlannedItem = t.Item[Music]
PlannedLine = t.Line[p.PartStaff, Music]
PlannedMarking = t.Marking[p.PartStaff, p.Apply[object]]
PlannedThrough = t.Through[p.PartStaff, p.Apply[object]]
PlannedDoubling = t.Doubling[p.PartStaff, p.Apply[object]]
PlannedRow = (
    t.Setting | t.FormRow | PlannedLine | PlannedMarking | PlannedDoubling | PlannedThrough | t.Excerpt["PlannedRow"]
)
WITH_VALUES = (t.Line, t.Marking, t.Doubling, t.Through, t.Excerpt)
"""Rows in which values were put; the others are as they stand in the tree."""
PlannedSection = t.Section[PlannedRow]
PlannedExcerpt = t.Excerpt[PlannedRow]
PlannedMovement = t.Movement[PlannedRow]


@record
class Plan:
    """The evaluated piece."""

    program: p.Program
    """What was evaluated."""
    values: Mapping[p.Identity, Value]
    movements: tuple[PlannedMovement, ...]

    @property
    def main(self) -> str:
        """The name of the piece's own file."""
        return self.program.main


def sort_of(value: ArgumentValue) -> str:
    """What a value is, in words."""
    match value:
        case Motif():
            return "a motif"
        case Texture(lines):
            return f"a texture of {len(lines)} lines"
        case Rhythm():
            return "a rhythm"
        case Figure():
            return "a figure"
        case bool() | int():
            return "a number"
        case Fraction():
            return "a duration"
        case Bars():
            return "a number of bars"
        case Interval():
            return "an interval"
        case Pitch():
            return "a pitch"
        case PitchClass():
            return "a note name"
        case Mode():
            return "a mode"
        case str():
            return "a word"
        case tuple():
            return "a range"
        case _:
            return "a cipher" if not isinstance(value, Selection | Markings) else "a choice of notes"
