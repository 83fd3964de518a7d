"""The nodes of values: words and constants, literals, and expressions made of them.

Numbers, pitches and durations are already values; words are still words.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.event import Bars as Bars
from cavata.music.event import Stroke
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.record import record
from cavata.source import Span

# ------------------------------------------------------------------ words and constants


@record
class Word:
    """A name or a word of the language; which of them, the name pass decides."""

    text: str
    span: Span


@record
class Text:
    """A string, its quotes taken off."""

    text: str
    span: Span


@record
class Atom:
    """A constant among a step's arguments."""

    value: int | Ratio | Fraction | Pitch | PitchClass | Interval | PitchRange
    span: Span


@record
class Ratio:
    """`3:2` as a ratio; kept apart from durations, which are fractions too."""

    value: Fraction


@record
class PitchRange:
    """`Bb1..C5`."""

    low: Pitch
    high: Pitch


# ------------------------------------------------------------------ literals


@record
class Sound:
    """One entry of `notes(...)`: no pitch for a rest, several for a chord."""

    pitches: tuple[Pitch, ...]
    duration: Fraction
    span: Span


@record
class NotesLiteral:
    """`notes(...)`: the bars that its `|` signs part."""

    bars: tuple[tuple[Sound, ...], ...]
    span: Span


@record
class ChordLiteral:
    """`chord(...)`."""

    pitches: tuple[Pitch, ...]
    span: Span


@record
class RhythmLiteral:
    """`(1/4 rest 1/8)`: durations, each with whether it is a rest."""

    beats: tuple[tuple[Fraction, bool], ...]
    span: Span


@record
class LettersRhythm:
    """`morse "HEDDA" unit 1/16` or `durations hedda unit 1/16 with 24 letters`."""

    kind: str
    """`morse` or `durations`."""
    letters: Text | Word
    unit: Fraction
    alphabet: int
    """How many letters the alphabet of `durations` counts."""
    span: Span


@record
class DigitsLiteral:
    """`digits "1904" in gallery`, or `in D minor`: the words of the mode as they stand."""

    digits: Text
    mode: tuple[Atom | Word, ...]
    span: Span


@record
class SymbolBeat:
    """`Dm 1/2`; no symbol for a rest."""

    symbol: str
    duration: Fraction
    span: Span


@record
class ChordsLiteral:
    """`chords(Dm 1/2, rest 1/4, A7 1/4)`."""

    beats: tuple[SymbolBeat, ...]
    span: Span


@record
class ForeignTune:
    """`from "sketch.musicxml" part 1 bars 1 to 8`: a line of another program's score."""

    file: Text
    part: Atom | Text | None
    """Its number or its name."""
    voice: Atom | None
    first: int
    last: int
    bars: Span | None
    """Where the bars stand; None for all of it."""
    span: Span


@record
class FigureLiteral:
    """`(1/4 bass, 1/4 upper) with (1/4 rest, 1/4 1 3)`: the strokes of each line."""

    lines: tuple[tuple[Stroke, ...], ...]
    span: Span


# ------------------------------------------------------------------ expressions


@record
class Call:
    """`word(a, b, ...)`. An argument that is no expression is a run of atoms."""

    word: Word
    arguments: tuple[Expression | Loose, ...]
    span: Span


@record
class Loose:
    """An argument of a combination that is no value, as `at P5 below`."""

    atoms: tuple[Argument, ...]
    span: Span


@record
class Step:
    """`-> word arguments`."""

    word: Word
    arguments: tuple[Argument, ...]
    span: Span


@record
class Chain:
    """A first value and what follows it from left to right: further values to add, and steps."""

    first: Term
    links: tuple[Term | Step, ...]
    span: Span


Literal = (
    NotesLiteral | ChordLiteral | RhythmLiteral | LettersRhythm | DigitsLiteral | ChordsLiteral | FigureLiteral
    | ForeignTune
)  # fmt: skip
Term = Word | Call | Literal | Chain
Expression = Chain
Argument = Atom | Text | Term
