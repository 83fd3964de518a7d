"""The nodes of values: literals, and expressions made of them."""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import dataclass
from cavata.source import Span
from cavata.syntax.atoms import Atom, Text, Word
from cavata.syntax.letters import ChordsLiteral, DigitsLiteral, LettersRhythm


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


Literal = NotesLiteral | ChordLiteral | RhythmLiteral | LettersRhythm | DigitsLiteral | ChordsLiteral
Term = Word | Call | Literal | Chain
Expression = Chain
Argument = Atom | Text | Term
