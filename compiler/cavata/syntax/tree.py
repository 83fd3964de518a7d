"""The syntax tree: what a script says, before any name is looked up.

Every node has the span of its text. Numbers, pitches and durations are already values; words are
still words.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.source import Source, Span

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

# ------------------------------------------------------------------ score lines


@dataclass(frozen=True, slots=True)
class Bars:
    """A span of so many bars."""

    count: int


Length = Bars | Fraction


@dataclass(frozen=True, slots=True)
class Place:
    """`at bar 5 beat 2 + 1/8`."""

    bar: int
    beat: int
    offset: Fraction
    span: Span


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


@dataclass(frozen=True, slots=True)
class Marking:
    """`PARTS bars N to M: step`."""

    parts: tuple[PartRef, ...]
    first: int
    last: int
    step: Step
    span: Span


# ------------------------------------------------------------------ settings


@dataclass(frozen=True, slots=True)
class MeterRow:
    """`meter 7/8 as 2+2+3`; no numerator for `meter none`."""

    place: Place | None
    numerator: int
    denominator: int
    groups: tuple[int, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class KeyRow:
    """`key D minor`; no tonic for `key none`."""

    place: Place | None
    tonic: PitchClass | None
    mode: Word | None
    span: Span


@dataclass(frozen=True, slots=True)
class TempoRow:
    """`tempo 1/4 at 96, "With the tide"`; words alone leave the rate as it was."""

    place: Place | None
    beat: Fraction | None
    per_minute: Fraction | None
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class PickupRow:
    """`pickup 1/4`."""

    duration: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class Attacca:
    """`attacca`."""

    span: Span


Setting = MeterRow | KeyRow | TempoRow | PickupRow | Attacca


@dataclass(frozen=True, slots=True)
class Section:
    """A section and its rows. The unnamed one holds lines that stand in the movement itself."""

    name: Word | None
    title: str
    bars: int | None
    rows: tuple[Setting | Line | Marking, ...]
    span: Span


# ------------------------------------------------------------------ declarations


@dataclass(frozen=True, slots=True)
class Language:
    """`language 1`."""

    edition: int
    span: Span


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A row of `piece`: its word, and its text, lengths in minutes, or nothing."""

    word: str
    text: str
    minutes: tuple[Fraction, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Piece:
    """`piece "title"` and its rows."""

    title: Text
    rows: tuple[PieceRow, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Use:
    """`use a, b from ciphers`: no names for everything, a `Text` for a file."""

    names: tuple[Word, ...]
    origin: Word | Text
    span: Span


@dataclass(frozen=True, slots=True)
class Tone:
    """A note of a cipher: a pitch class, an exact pitch, a syllable, or None for a rest."""

    value: PitchClass | Pitch | str | None
    span: Span


@dataclass(frozen=True, slots=True)
class Reading:
    """`letter 1 as B`."""

    letter: int
    tone: Tone
    span: Span


@dataclass(frozen=True, slots=True)
class Name:
    """`name bea = "BEA" written "..." by house, letter 1 as B`."""

    name: Word
    letters: Text
    written: Text | None
    cipher: Word
    readings: tuple[Reading, ...]
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class LettersRow:
    """`letters A..Z onto C D E`: the letters one by one, and the tones they wrap round."""

    letters: tuple[str, ...]
    tones: tuple[Tone, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class LetterRow:
    """`B = Bb or B`: the choices, each of one tone or more."""

    letters: str
    choices: tuple[tuple[Tone, ...], ...]
    span: Span


@dataclass(frozen=True, slots=True)
class OthersSilent:
    """`other letters silent`."""

    span: Span


@dataclass(frozen=True, slots=True)
class Cipher:
    """`cipher house "..." = french` and its rows."""

    name: Word
    description: str
    parent: Word | None
    rows: tuple[LettersRow | LetterRow | OthersSilent, ...]
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class Definition:
    """`motif m = ...` or `rhythm r = ...`."""

    kind: str
    name: Word
    value: Expression
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class OwnTransform:
    """`transform echo(m, gap) = ...`."""

    name: Word
    parameters: tuple[Word, ...]
    value: Expression
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class Force:
    """`violin1 = violins, soloist`."""

    name: Word
    instrument: Word
    soloist: bool
    label: str
    abbreviation: str
    span: Span


@dataclass(frozen=True, slots=True)
class Forces:
    """`forces` and its rows."""

    rows: tuple[Force, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Group:
    """`group strings = violin1, violin2`."""

    name: Word
    parts: tuple[Word, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Movement:
    """A movement or a cadenza with its settings and sections."""

    name: Word
    title: str
    is_cadenza: bool
    settings: tuple[Setting, ...]
    sections: tuple[Section, ...]
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class Broken:
    """A declaration that was reported; later passes only need to know which name it would have given."""

    name: str
    span: Span


Declaration = (
    Language | Piece | Use | Name | Cipher | Definition | OwnTransform | Forces | Group | Movement | Broken
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Module:
    """One file."""

    source: Source
    declarations: tuple[Declaration, ...]
