"""The syntax tree: what a script says, before any name is looked up.

Every node has the span of its text. Numbers, pitches and durations are already values; words are
still words.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import record
from cavata.source import Source, Span
from cavata.syntax.tree_values import (
    Argument,
    Atom,
    Bars,
    Call,
    Chain,
    ChordLiteral,
    ChordsLiteral,
    DigitsLiteral,
    Expression,
    ForLength,
    Item,
    Length,
    LettersRhythm,
    Line,
    Literal,
    Loose,
    Marking,
    NotesLiteral,
    OwnMode,
    PartRef,
    PitchRange,
    Place,
    Ratio,
    RestItem,
    RestTo,
    RhythmLiteral,
    Sound,
    Step,
    SymbolBeat,
    Term,
    Text,
    Times,
    UntilEnd,
    Word,
)

# ----------------------------------------------------------------
# The nodes of form: passages and where they are placed, sections made from others, repeats, what a piece requires.


# ------------------------------------------------------------------ passages


@record
class Placement:
    """`passage exchange(bassoon, harp, hail, reply) at bar 21`."""

    name: Word
    arguments: tuple[Expression | Loose | PartRef, ...]
    place: Place | None
    span: Span


@record
class Passage:
    """`passage exchange(high, low, m, n)` and its rows."""

    name: Word
    parameters: tuple[Word, ...]
    rows: tuple[Line | Marking | Placement, ...]
    remark: str
    span: Span


# ------------------------------------------------------------------ rows of sections


@record
class Earlier:
    """`= opening -> up m3`, or `= first.opening`: what a section is made from, and the steps that its items take."""

    section: PartRef
    steps: tuple[Step, ...]
    span: Span


@record
class Tacet:
    """`tacet bassoon, harp`."""

    parts: tuple[PartRef, ...]
    span: Span


@record
class Repeated:
    """`repeated 3 times`."""

    times: int
    span: Span


@record
class Ending:
    """`ending 1, 2 bars 7 to 8`: at which times through the bars are played."""

    passes: tuple[int, ...]
    first: int
    last: int
    span: Span


# ------------------------------------------------------------------ what a piece requires


@record
class Heard:
    """`tamsin, corwen heard in first, alone`; no movements for `every movement`."""

    names: tuple[PartRef, ...]
    movements: tuple[PartRef, ...]
    span: Span


@record
class NeverBefore:
    """`hedda never before turning`: a section, `movement.section`, or a movement."""

    names: tuple[PartRef, ...]
    place: PartRef
    span: Span


@record
class KeepsWithin:
    """`bassoon within Bb1..C5`."""

    parts: tuple[PartRef, ...]
    low: Pitch
    high: Pitch
    span: Span


@record
class Takes:
    """`length of piece 3 min to 5 min`; the lengths in minutes."""

    what: Word
    least: Fraction
    most: Fraction
    span: Span


@record
class ExactForces:
    """`forces bassoon, harp, strings`."""

    parts: tuple[PartRef, ...]
    span: Span


@record
class NoParallels:
    """`no parallel fifths between violin, cello in opening`; no places for the whole piece."""

    interval: str
    """`fifths` or `octaves`."""
    parts: tuple[PartRef, ...]
    places: tuple[PartRef, ...]
    span: Span


@record
class Rests:
    """`bassoon rest at least 1/2 within 8 bars`."""

    parts: tuple[PartRef, ...]
    length: Length
    bars: int
    span: Span


Promise = Heard | NeverBefore | KeepsWithin | Takes | ExactForces | NoParallels | Rests


@record
class Require:
    """`require` and its rows."""

    rows: tuple[Promise, ...]
    span: Span


# ----------------------------------------------------------------

__all__ = [
    "Argument", "Atom", "Attacca", "Bars", "Broken", "Call", "Chain", "ChordLiteral", "ChordsLiteral", "Cipher",
    "Declaration", "Definition", "DigitsLiteral", "Earlier", "Ending", "ExactForces", "Expression", "ForLength",
    "Force", "Forces", "Group", "Heard", "Item", "KeepsWithin", "KeyRow", "Language", "Length", "LetterRow",
    "LettersRhythm", "LettersRow", "Line", "Literal", "Loose", "Marking", "MeterRow", "Module", "Movement", "Name",
    "NeverBefore", "NoParallels", "NotesLiteral", "OthersSilent", "OwnMode", "OwnTransform", "PartRef", "Passage",
    "PickupRow", "Piece", "PieceRow", "PitchRange", "Place", "Placement", "Promise", "Ratio", "Reading", "Repeated",
    "Require", "RestItem", "RestTo", "Rests", "RhythmLiteral", "Section", "Setting", "SharedStaff", "Sound", "Step",
    "SymbolBeat", "Tacet", "Takes", "TempoRow", "Term", "Text", "Times", "Tone", "UntilEnd", "Use", "Word",
]  # fmt: skip

# ------------------------------------------------------------------ settings


@record
class MeterRow:
    """`meter 7/8 as 2+2+3`; no numerator for `meter none`."""

    place: Place | None
    numerator: int
    denominator: int
    groups: tuple[int, ...]
    span: Span


@record
class KeyRow:
    """`key D minor`; no tonic for `key none`."""

    place: Place | None
    tonic: PitchClass | None
    mode: Word | None
    span: Span


@record
class TempoRow:
    """`tempo 1/4 at 96, "With the tide"`; words alone leave the rate as it was.

    `broadening to 1/4 at 48 over 4 bars` and `pressing on to ...` lead there; `back in tempo` undoes such a change.
    """

    place: Place | None
    beat: Fraction | None
    per_minute: Fraction | None
    words: str
    span: Span
    bend: str = ""
    """`broadening` or `pressing on`."""
    over: Length | None = None
    back: bool = False


@record
class PickupRow:
    """`pickup 1/4`."""

    duration: Fraction
    span: Span


@record
class Attacca:
    """`attacca`."""

    span: Span


Setting = MeterRow | KeyRow | TempoRow | PickupRow | Attacca


@record
class Section:
    """A section and its rows. The unnamed one holds lines that stand in the movement itself."""

    name: Word | None
    title: str
    bars: int | None
    rows: tuple[Setting | Line | Marking | Placement | Tacet | Repeated | Ending, ...]
    span: Span
    earlier: Earlier | None = None
    """The section that it is made from."""


# ------------------------------------------------------------------ declarations


@record
class Language:
    """`language 1`."""

    edition: int
    span: Span


@record
class PieceRow:
    """A row of `piece`: its word, and its text or language, lengths in minutes, or nothing."""

    word: str
    text: str
    minutes: tuple[Fraction, ...]
    span: Span


@record
class Piece:
    """`piece "title"` and its rows."""

    title: Text
    rows: tuple[PieceRow, ...]
    span: Span


@record
class Use:
    """`use a, b from ciphers`, `use a from "house.cavata" as b`: no names for everything, a `Text` for a file."""

    names: tuple[Word, ...]
    origin: Word | Text
    span: Span
    alias: Word | None = None


@record
class Tone:
    """A note of a cipher: a pitch class, an exact pitch, a syllable, or None for a rest."""

    value: PitchClass | Pitch | str | None
    span: Span


@record
class Reading:
    """`letter 1 as B`."""

    letter: int
    tone: Tone
    span: Span


@record
class Name:
    """`name bea = "BEA" written "..." by house, letter 1 as B`."""

    name: Word
    letters: Text
    written: Text | None
    cipher: Word
    readings: tuple[Reading, ...]
    remark: str
    span: Span


@record
class LettersRow:
    """`letters A..Z onto C D E`: the letters one by one, and the tones they wrap round."""

    letters: tuple[str, ...]
    tones: tuple[Tone, ...]
    span: Span


@record
class LetterRow:
    """`B = Bb or B`: the choices, each of one tone or more."""

    letters: str
    choices: tuple[tuple[Tone, ...], ...]
    span: Span


@record
class OthersSilent:
    """`other letters silent`."""

    span: Span


@record
class Cipher:
    """`cipher house "..." = french` and its rows."""

    name: Word
    description: str
    parent: Word | None
    rows: tuple[LettersRow | LetterRow | OthersSilent, ...]
    remark: str
    span: Span


@record
class Definition:
    """`motif m = ...` or `rhythm r = ...`."""

    kind: str
    name: Word
    value: Expression
    remark: str
    span: Span


@record
class OwnTransform:
    """`transform echo(m, gap) = ...`."""

    name: Word
    parameters: tuple[Word, ...]
    value: Expression
    remark: str
    span: Span


@record
class Force:
    """`violin1 = violins, soloist`."""

    name: Word
    instrument: Word
    soloist: bool
    label: str
    abbreviation: str
    span: Span
    doublings: tuple[Word, ...] = ()
    """Other instruments that the player takes up, as `doubling piccolo` says."""


@record
class Forces:
    """`forces` and its rows."""

    rows: tuple[Force, ...]
    span: Span
    in_order: bool = False
    """They are to stand in score order, whatever the order of the rows."""


@record
class Group:
    """`group strings = violin1, violin2`."""

    name: Word
    parts: tuple[Word, ...]
    span: Span


@record
class SharedStaff:
    """`staff flutes "Flutes" short "Fl." = flute1, flute2`: parts that are written on one staff in the score."""

    name: Word
    parts: tuple[Word, ...]
    label: str
    abbreviation: str
    span: Span
    apart: bool = False
    """`staves`: one name and one brace, but each part has a staff of its own."""


@record
class Movement:
    """A movement or a cadenza with its settings and sections."""

    name: Word
    title: str
    is_cadenza: bool
    settings: tuple[Setting, ...]
    sections: tuple[Section, ...]
    remark: str
    span: Span


@record
class Broken:
    """A declaration that was reported; later passes only need to know which name it would have given."""

    name: str
    span: Span


Declaration = (
    Language | Piece | Use | Name | Cipher | Definition | OwnTransform | Forces | Group | SharedStaff | Movement
    | Passage | Require | OwnMode | Broken
)  # fmt: skip


@record
class Module:
    """One file."""

    source: Source
    declarations: tuple[Declaration, ...]
