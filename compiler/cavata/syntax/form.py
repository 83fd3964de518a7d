"""The nodes of form: passages and where they are placed, sections made from others, repeats, what a piece requires."""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import dataclass
from cavata.source import Span
from cavata.syntax.atoms import Word
from cavata.syntax.lines import Length, Line, Marking, PartRef, Place
from cavata.syntax.tree_values import Expression, Loose, Step

# ------------------------------------------------------------------ passages


@dataclass(frozen=True, slots=True)
class Placement:
    """`passage exchange(bassoon, harp, hail, reply) at bar 21`."""

    name: Word
    arguments: tuple[Expression | Loose | PartRef, ...]
    place: Place | None
    span: Span


@dataclass(frozen=True, slots=True)
class Passage:
    """`passage exchange(high, low, m, n)` and its rows."""

    name: Word
    parameters: tuple[Word, ...]
    rows: tuple[Line | Marking | Placement, ...]
    remark: str
    span: Span


# ------------------------------------------------------------------ rows of sections


@dataclass(frozen=True, slots=True)
class Earlier:
    """`= opening -> up m3`, or `= first.opening`: what a section is made from, and the steps that its items take."""

    section: PartRef
    steps: tuple[Step, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Tacet:
    """`tacet bassoon, harp`."""

    parts: tuple[PartRef, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Repeated:
    """`repeated 3 times`."""

    times: int
    span: Span


@dataclass(frozen=True, slots=True)
class Ending:
    """`ending 1, 2 bars 7 to 8`: at which times through the bars are played."""

    passes: tuple[int, ...]
    first: int
    last: int
    span: Span


# ------------------------------------------------------------------ what a piece requires


@dataclass(frozen=True, slots=True)
class Heard:
    """`tamsin, corwen heard in first, alone`; no movements for `every movement`."""

    names: tuple[PartRef, ...]
    movements: tuple[PartRef, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class NeverBefore:
    """`hedda never before turning`: a section, `movement.section`, or a movement."""

    names: tuple[PartRef, ...]
    place: PartRef
    span: Span


@dataclass(frozen=True, slots=True)
class KeepsWithin:
    """`bassoon within Bb1..C5`."""

    parts: tuple[PartRef, ...]
    low: Pitch
    high: Pitch
    span: Span


@dataclass(frozen=True, slots=True)
class Takes:
    """`length of piece 3 min to 5 min`; the lengths in minutes."""

    what: Word
    least: Fraction
    most: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class ExactForces:
    """`forces bassoon, harp, strings`."""

    parts: tuple[PartRef, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class NoParallels:
    """`no parallel fifths between violin, cello in opening`; no places for the whole piece."""

    interval: str
    """`fifths` or `octaves`."""
    parts: tuple[PartRef, ...]
    places: tuple[PartRef, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Rests:
    """`bassoon rest at least 1/2 within 8 bars`."""

    parts: tuple[PartRef, ...]
    length: Length
    bars: int
    span: Span


Promise = Heard | NeverBefore | KeepsWithin | Takes | ExactForces | NoParallels | Rests


@dataclass(frozen=True, slots=True)
class Require:
    """`require` and its rows."""

    rows: tuple[Promise, ...]
    span: Span
