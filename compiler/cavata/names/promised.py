"""What a piece requires, its names found: the checked form of the rows of `require`."""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.names.program import Identity, PartStaff
from cavata.record import dataclass
from cavata.source import Span
from cavata.syntax import tree as t


@dataclass(frozen=True, slots=True)
class PromisedName:
    """A name and the word that stands for it in the row."""

    to: Identity
    span: Span


@dataclass(frozen=True, slots=True)
class Where:
    """A section of a movement; without a section the whole movement."""

    movement: str
    section: str
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedHeard:
    """Names that are heard, every letter of them, in movements; without any in every one."""

    names: tuple[PromisedName, ...]
    movements: tuple[Where, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedNeverBefore:
    """Names of which no letter sounds before a place."""

    names: tuple[PromisedName, ...]
    place: Where
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedRange:
    """Parts that keep to a range."""

    parts: tuple[PartStaff, ...]
    low: Pitch
    high: Pitch
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedLength:
    """How long the piece, or a movement, takes, in minutes; no movement for the piece."""

    movement: str
    least: Fraction
    most: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedForces:
    """The parts that there are, no fewer and no more."""

    parts: tuple[PartStaff, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedNoParallels:
    """Parts between which there are no parallel fifths, or octaves; without places in the whole piece."""

    interval: str
    parts: tuple[PartStaff, ...]
    places: tuple[Where, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class PromisedRests:
    """Parts that rest at least so long within any so many bars."""

    parts: tuple[PartStaff, ...]
    length: t.Length
    bars: int
    span: Span


Promised = (
    PromisedHeard | PromisedNeverBefore | PromisedRange | PromisedLength | PromisedForces | PromisedNoParallels
    | PromisedRests
)  # fmt: skip
