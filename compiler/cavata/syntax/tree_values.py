"""The nodes of values: literals, and expressions made of them."""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.record import record
from cavata.source import Span

# ----------------------------------------------------------------
# The smallest nodes of values: words, texts and constants.
#
# Numbers, pitches and durations are already values; words are still words.


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


# ----------------------------------------------------------------
# The nodes of values that come from letters, digits and chord symbols, and of modes that a script defines.


@record
class OwnMode:
    """`mode gallery = D E F G A Bb C#`: each degree a note name."""

    name: Word
    degrees: tuple[Atom, ...]
    remark: str
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


# ----------------------------------------------------------------

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


Literal = NotesLiteral | ChordLiteral | RhythmLiteral | LettersRhythm | DigitsLiteral | ChordsLiteral
Term = Word | Call | Literal | Chain
Expression = Chain
Argument = Atom | Text | Term


# ----------------------------------------------------------------
# The nodes of score lines: places, spans, items, and the parts that have them.


@record
class Bars:
    """A span of so many bars."""

    count: int


Length = Bars | Fraction


@record
class Place:
    """`at bar 5 beat 2 + 1/8`, or `after 3/2`, which counts from the section's beginning."""

    bar: int
    beat: int
    offset: Fraction
    span: Span
    counted: bool = True
    """Whether bars and beats are counted; else only the offset says where it is."""


@record
class Times:
    """`x 3`."""

    count: int
    span: Span


@record
class ForLength:
    """`for 2 bars`."""

    length: Length
    span: Span


@record
class UntilEnd:
    """`until end`."""

    span: Span


@record
class Item:
    """A value in a score line."""

    value: Expression
    repeat: Times | ForLength | UntilEnd | None
    over: bool
    span: Span


@record
class RestItem:
    """`rest 2 bars`."""

    length: Length
    span: Span


@record
class RestTo:
    """`rest to bar 5`."""

    bar: int
    span: Span


@record
class PartRef:
    """`piano.right`; no staff for `piano`."""

    part: Word
    staff: Word | None
    span: Span


@record
class Line:
    """`PARTS at ...: items`."""

    parts: tuple[PartRef, ...]
    place: Place | None
    items: tuple[Item | RestItem | RestTo, ...]
    span: Span
    replaces: bool = False
    """It silences what its parts had there."""


@record
class Marking:
    """`PARTS bars N to M: step`."""

    parts: tuple[PartRef, ...]
    first: int
    last: int
    step: Step
    span: Span
