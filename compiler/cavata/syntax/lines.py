"""The nodes of score lines: places, spans, items, and the parts that have them."""

from __future__ import annotations

from fractions import Fraction

from cavata.record import dataclass
from cavata.source import Span
from cavata.syntax.atoms import Word
from cavata.syntax.tree_values import Expression, Step


@dataclass(frozen=True, slots=True)
class Bars:
    """A span of so many bars."""

    count: int


Length = Bars | Fraction


@dataclass(frozen=True, slots=True)
class Place:
    """`at bar 5 beat 2 + 1/8`, or `after 3/2`, which counts from the section's beginning."""

    bar: int
    beat: int
    offset: Fraction
    span: Span
    counted: bool = True
    """Whether bars and beats are counted; else only the offset says where it is."""


@dataclass(frozen=True, slots=True)
class Times:
    """`x 3`."""

    count: int
    span: Span


@dataclass(frozen=True, slots=True)
class ForLength:
    """`for 2 bars`."""

    length: Length
    span: Span


@dataclass(frozen=True, slots=True)
class UntilEnd:
    """`until end`."""

    span: Span


@dataclass(frozen=True, slots=True)
class Item:
    """A value in a score line."""

    value: Expression
    repeat: Times | ForLength | UntilEnd | None
    over: bool
    span: Span


@dataclass(frozen=True, slots=True)
class RestItem:
    """`rest 2 bars`."""

    length: Length
    span: Span


@dataclass(frozen=True, slots=True)
class RestTo:
    """`rest to bar 5`."""

    bar: int
    span: Span


@dataclass(frozen=True, slots=True)
class PartRef:
    """`piano.right`; no staff for `piano`."""

    part: Word
    staff: Word | None
    span: Span


@dataclass(frozen=True, slots=True)
class Line:
    """`PARTS at ...: items`."""

    parts: tuple[PartRef, ...]
    place: Place | None
    items: tuple[Item | RestItem | RestTo, ...]
    span: Span
    replaces: bool = False
    """It silences what its parts had there."""


@dataclass(frozen=True, slots=True)
class Marking:
    """`PARTS bars N to M: step`."""

    parts: tuple[PartRef, ...]
    first: int
    last: int
    step: Step
    span: Span
