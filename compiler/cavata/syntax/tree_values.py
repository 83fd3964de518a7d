"""The nodes of values: words, constants, literals, and expressions made of them.

Numbers, pitches and durations are already values; words are still words.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.source import Span

# ------------------------------------------------------------------ words and atoms


@dataclass(frozen=True, slots=True)
class Word:
    """A name or a word of the language; which of them, the name pass decides."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Text:
    """A string, its quotes taken off."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Atom:
    """A constant among a step's arguments."""

    value: int | Ratio | Fraction | Pitch | PitchClass | Interval | PitchRange
    span: Span


@dataclass(frozen=True, slots=True)
class Ratio:
    """`3:2` as a ratio; kept apart from durations, which are fractions too."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class PitchRange:
    """`Bb1..C5`."""

    low: Pitch
    high: Pitch


# ------------------------------------------------------------------ expressions


@dataclass(frozen=True, slots=True)
class Sound:
    """One entry of `notes(...)`: no pitch for a rest, several for a chord."""

    pitches: tuple[Pitch, ...]
    duration: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class NotesLiteral:
    """`notes(...)`: the bars that its `|` signs part."""

    bars: tuple[tuple[Sound, ...], ...]
    span: Span


@dataclass(frozen=True, slots=True)
class ChordLiteral:
    """`chord(...)`."""

    pitches: tuple[Pitch, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class RhythmLiteral:
    """`(1/4 rest 1/8)`: durations, each with whether it is a rest."""

    beats: tuple[tuple[Fraction, bool], ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Call:
    """`word(a, b, ...)`. An argument that is no expression is a run of atoms."""

    word: Word
    arguments: tuple[Expression | Loose, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Loose:
    """An argument of a combination that is no value, as `at P5 below`."""

    atoms: tuple[Argument, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Step:
    """`-> word arguments`."""

    word: Word
    arguments: tuple[Argument, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Chain:
    """A first value and what follows it from left to right: further values to add, and steps."""

    first: Term
    links: tuple[Term | Step, ...]
    span: Span


Term = Word | Call | NotesLiteral | ChordLiteral | RhythmLiteral | Chain
Expression = Chain
Argument = Atom | Text | Word | Call | NotesLiteral | ChordLiteral | RhythmLiteral | Chain
