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

    value: int | NoteRange | Ratio | Fraction | Pitch | PitchClass | Interval | PitchRange
    span: Span


@record
class Ratio:
    """`3:2` as a ratio; kept apart from durations, which are fractions too."""

    value: Fraction


@record
class NoteRange:
    """`5..8` as numbers of notes; None for the last, as in `5..last`."""

    first: int
    last: int | None


@record
class NoteList:
    """`(1 3 5..8)`: notes that are handed to a transform of the script's own."""

    notes: tuple[Atom | Text | Word, ...]
    span: Span


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
    """`chord(1/2 D3 A3)`."""

    pitches: tuple[Pitch, ...]
    duration: Fraction
    span: Span


@record
class RhythmLiteral:
    """`(1/4 1/8 rest)`: durations, each with whether it is a rest."""

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
    """One entry of `chords(...)`; no symbol for a rest."""

    symbol: str
    duration: Fraction
    span: Span


@record
class ChordsLiteral:
    """`chords(1/2 Dm, 1/4 rest A7)`: the bars that its `|` signs part."""

    bars: tuple[tuple[SymbolBeat, ...], ...]
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
class Times:
    """`x 3`: so many times in all."""

    count: int
    span: Span


@record
class ForLength:
    """`for 3/4`, and at the end of an item of a score line `for 2 bars`: again and again, and cut."""

    length: Bars | Fraction
    span: Span


@record
class Held:
    """`held 3/4`, and at the end of an item of a score line `held 2 bars` or `held until end`: one note sustained."""

    length: Bars | Fraction | None
    """None until the end of the section."""
    span: Span


@record
class LengthOf:
    """`x n`, `for d` or `held d`, where a parameter says how often or how long."""

    word: str
    by: Word
    span: Span


ChainStep = Step | Times | ForLength | Held | LengthOf
"""What stands in a chain beside values that are added."""


@record
class Chain:
    """A first value and what follows it from left to right: further values to add, steps and lengths."""

    first: Term
    links: tuple[Term | ChainStep, ...]
    span: Span


Literal = (
    NotesLiteral | ChordLiteral | RhythmLiteral | LettersRhythm | DigitsLiteral | ChordsLiteral | FigureLiteral
    | ForeignTune
)  # fmt: skip
Term = Word | Call | Literal | Chain
Expression = Chain
Argument = Atom | NoteList | Text | Term
