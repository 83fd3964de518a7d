"""Whether a value that was computed is of the kind that a pattern asks for, and the value as that kind.

In: a kind, and the value of an argument. Out: what the transform is handed; None where the value is of another kind.
A rhythm and a line stand for each other: a rhythm is the durations of a line, and a line on any pitch has a rhythm.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.evaluate.plan import ArgumentValue
from cavata.music.event import (
    ARTICULATIONS,
    DYNAMICS,
    NOTHING,
    TECHNIQUES,
    Bars,
    Beat,
    Event,
    Figure,
    Head,
    Motif,
    Rhythm,
)
from cavata.music.mode import Mode
from cavata.music.pitch import MIDDLE_LINE, Interval, Pitch, PitchClass
from cavata.transforms.dress import AT_EACH_NOTE, Markings
from cavata.transforms.selection import ByNumber, ByText, Selection
from cavata.transforms.signature import ArgumentKind


def of_rhythm(rhythm: Rhythm) -> Motif:
    """A rhythm as a line on any pitch, so that steps of order and time can work on it."""
    return Motif(tuple(Event(b.duration, () if b.is_rest else (Head(MIDDLE_LINE, b.origins),)) for b in rhythm.beats))


def to_rhythm(motif: Motif) -> Rhythm:
    """The rhythm of a line."""
    return Rhythm(tuple(Beat(e.duration, e.is_rest, e.heads[0].origins if e.heads else ()) for e in motif.events))


def fit(kind: ArgumentKind, value: ArgumentValue) -> object | None:
    """The value as an argument of that kind; None if it is another."""
    match kind, value:
        case ArgumentKind.RHYTHM, Rhythm() | Figure():
            return value
        case ArgumentKind.RHYTHM, Motif():
            return to_rhythm(value)
        case ArgumentKind.MOTIF, Motif():
            return value
        case ArgumentKind.COUNT, int():
            return value
        case ArgumentKind.RATIO, int():
            return Fraction(value) if value > 0 else None
        case ArgumentKind.SPAN, Bars():
            return value
        case (ArgumentKind.RATIO | ArgumentKind.DURATION | ArgumentKind.SPAN), Fraction():
            return value
        case (
            (ArgumentKind.INTERVAL, Interval())
            | (ArgumentKind.PITCH, Pitch())
            | (ArgumentKind.CLASS, PitchClass())
            | (ArgumentKind.MODE, Mode())
            | (ArgumentKind.RANGE, tuple())
        ):
            return value
        case ArgumentKind.TEXT, str():
            return value
        case ArgumentKind.DYNAMIC, str():
            return value if value in DYNAMICS or value == NOTHING else None
        case ArgumentKind.NOTES, int():
            return Selection((ByNumber(value, value),))
        case ArgumentKind.NOTES, str():
            return Selection((ByText(value),))
        case ArgumentKind.NOTES, Selection():
            return value
        case ArgumentKind.MARKINGS, str():
            if value in DYNAMICS:
                return Markings(value, (), ())
            if value in TECHNIQUES:
                return Markings("", (), (), (value,))
            if value in ARTICULATIONS:
                return Markings("", (value,), ()) if value in AT_EACH_NOTE else None
            return Markings("", (), (value,))
        case _:
            return None
