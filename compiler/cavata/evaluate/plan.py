"""What the evaluator gives: the value of every definition, and score lines with values in them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from cavata.ciphers.cipher import Cipher
from cavata.music.event import Motif, Rhythm, Texture
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.names import program as p
from cavata.names.program import BoundForce, BoundSetting, BoundStaff, Identity, PartStaff
from cavata.record import record
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.combinations import Bars
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection
from cavata.transforms.table import Transform

Music = Motif | Texture | Rhythm
Value = Music | Cipher


@record
class PlannedItem:
    """A value in a score line, and how often or how long it sounds."""

    value: Music
    repeat: t.Times | t.ForLength | t.UntilEnd | None
    over: bool
    span: Span


@record
class Within:
    """Where a passage is placed; None where the section or passage around it begins."""

    place: t.Place | None
    span: Span


@record
class PlannedLine:
    """A score line."""

    parts: tuple[PartStaff, ...]
    place: t.Place | None
    items: tuple[PlannedItem | t.RestItem | t.RestTo, ...]
    span: Span
    replaces: bool = False
    """It silences what its parts had there."""
    tacet: tuple[PartStaff, ...] = ()
    """Of its parts those that are silent."""
    within: tuple[Within, ...] = ()
    """The passages it stands in, the outermost first."""


@record
class PlannedMarking:
    """A marking over bars: a step of dress with its arguments."""

    parts: tuple[PartStaff, ...]
    first: int
    last: int
    transform: Transform
    arguments: tuple[object, ...]
    span: Span
    within: tuple[Within, ...] = ()
    """The passages it stands in, the outermost first."""


@record
class PlannedSection:
    """A section."""

    name: str
    title: str
    bars: int | None
    settings: tuple[BoundSetting, ...]
    lines: tuple[PlannedLine, ...]
    markings: tuple[PlannedMarking, ...]
    span: Span
    repeats: tuple[t.Repeated | t.Ending, ...] = ()
    upbeat: Fraction = Fraction(0)
    """How long before its first bar it begins, in the last bar of the section before."""


@record
class PlannedMovement:
    """A movement or cadenza."""

    name: str
    title: str
    is_cadenza: bool
    settings: tuple[BoundSetting, ...]
    sections: tuple[PlannedSection, ...]
    span: Span


@record
class Plan:
    """The evaluated piece."""

    main: str
    values: Mapping[Identity, Value]
    piece: t.Piece | None
    forces: tuple[BoundForce, ...]
    groups: Mapping[str, tuple[str, ...]]
    movements: tuple[PlannedMovement, ...]
    staves: tuple[BoundStaff, ...] = ()


# ----------------------------------------------------------------
# What a value is, in words, as messages say it.


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
