"""What a value is, in words, as messages say it."""

from __future__ import annotations

from fractions import Fraction

from cavata.evaluate.plan import Value
from cavata.music.event import Motif, Rhythm, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.names import program as p
from cavata.transforms.canons import Bars
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection

Argument = Value | p.Constant


def sort_of(value: Argument) -> str:
    """What a value is, in words."""
    match value:
        case Motif():
            return "a motif"
        case Texture(lines):
            return f"a texture of {len(lines)} lines"
        case Rhythm():
            return "a rhythm"
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
