"""The syntax tree: what a script says, before any name is looked up.

Here stand the declarations; `tree_rows` has the rows of movements, which later passes fill, and `tree_values` what
stands in them. Every node has the span of its text. Numbers, pitches and durations are already values; words are still
words.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Generic

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import SLOTS, record
from cavata.source import Source, Span
from cavata.syntax.tree_rows import (
    MOST_TIMES,
    Attacca,
    Doubling,
    Earlier,
    Ending,
    ExactForces,
    Excerpt,
    FormRow,
    FormSign,
    Heard,
    Item,
    KeepsWithin,
    KeyRow,
    Length,
    Line,
    Marking,
    MeterRow,
    Movement,
    NameT,
    NeverBefore,
    NoParallels,
    PartRef,
    PickupRow,
    Place,
    Placement,
    Playable,
    Repeated,
    RepeatRow,
    RestItem,
    Rests,
    RestTo,
    Section,
    Setting,
    Tacet,
    Takes,
    TempoRow,
    Through,
    UntilEnd,
    Within,
)
from cavata.syntax.tree_values import (
    Argument,
    Atom,
    Bars,
    Call,
    Chain,
    ChainStep,
    ChordLiteral,
    ChordsLiteral,
    DigitsLiteral,
    Expression,
    FigureLiteral,
    ForeignTune,
    ForLength,
    Held,
    LengthOf,
    LettersRhythm,
    Literal,
    Loose,
    NoteList,
    NoteRange,
    NotesLiteral,
    PitchRange,
    Ratio,
    RhythmLiteral,
    Sound,
    Step,
    SymbolBeat,
    Term,
    Text,
    Times,
    Word,
)

__all__ = [
    "MOST_TIMES",
    "Argument", "Atom", "Attacca", "Bars", "Broken", "Call", "Chain", "ChainStep", "ChordLiteral", "ChordsLiteral",
    "Cipher", "Declaration", "Definition", "DigitsLiteral", "Doubling", "Earlier", "Ending", "ExactForces", "Excerpt",
    "Expression", "FigureLiteral", "ForLength", "Force", "Forces", "ForeignTune", "FormRow", "FormSign", "Group",
    "Heard", "Held", "Item", "KeepsWithin", "KeyRow", "Language", "Length", "LengthOf", "LetterRow", "LettersRhythm",
    "LettersRow", "Limit", "Line", "Literal", "Loose", "Marking", "MeterRow", "Module", "Moved", "Movement", "Name",
    "NeverBefore", "NoParallels", "NoteList", "NoteRange", "NotesLiteral", "OthersSilent", "OwnMode", "OwnTransform",
    "PartRef", "Passage", "PickupRow", "Piece", "PieceRow", "PitchRange", "Place", "Placement", "Playable", "Plays",
    "Profile", "Promise", "Promised", "Ratio", "Reading", "RepeatRow", "Repeated", "Require", "RestItem", "RestTo",
    "Rests", "RhythmLiteral", "Section", "Setting", "SharedStaff", "Sound", "Step", "SymbolBeat", "Tacet", "Takes",
    "Tempi", "TempoRow", "Term", "Text", "Through", "Times", "Tone", "UntilEnd", "Use", "Version", "VersionRow",
    "Within", "Without", "Word", "ParsedDoubling", "ParsedItem", "ParsedLine", "ParsedMarking", "ParsedMovement",
    "ParsedRow", "ParsedSection", "ParsedThrough",
]  # fmt: skip

# ------------------------------------------------------------------ rows, as they are written

ParsedItem = Item[Expression] | RestItem | RestTo
ParsedLine = Line[PartRef, Expression]
ParsedMarking = Marking[PartRef, Step]
ParsedThrough = Through[PartRef, Step]
ParsedDoubling = Doubling[PartRef, Step]
ParsedRow = (
    Setting | ParsedLine | ParsedMarking | ParsedDoubling | ParsedThrough | Placement | Tacet | FormRow
)
ParsedSection = Section[ParsedRow]
ParsedMovement = Movement[ParsedRow]
Promise = (
    Heard[PartRef, PartRef] | NeverBefore[PartRef, PartRef] | KeepsWithin[PartRef] | Takes[Word] | ExactForces[PartRef]
    | NoParallels[PartRef, PartRef] | Rests[PartRef] | Playable[PartRef]
)  # fmt: skip

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
    remark: str = ""


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

    @property
    def spelled(self) -> Text:
        """The letters that the cipher reads."""
        return self.written or self.letters


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
    """`motif m = ...`, `rhythm r = ...` or `figure f = ...`."""

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
class OwnMode:
    """`mode gallery = D E F G A Bb C#`: each degree a note name."""

    name: Word
    degrees: tuple[Atom, ...]
    remark: str
    span: Span


@record
class Tuning:
    """`tuned G3 D4 A4 D5`: the open strings as they sound, from the lowest."""

    strings: tuple[Pitch, ...]
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
    tuning: Tuning | None = None


@record
class Forces:
    """`forces` and its rows."""

    rows: tuple[Force, ...]
    span: Span
    in_order: bool = False
    """They are to stand in score order, whatever the order of the rows."""
    unread: tuple[str, ...] = ()
    """The parts of rows that could not be read."""


@record
class Group:
    """`group strings = violin1, violin2`."""

    name: Word
    parts: tuple[Word, ...]
    span: Span


@record
class SharedStaff(Generic[NameT]):
    """`staff flutes "Flutes" short "Fl." = flute1, flute2`: parts that are written on one staff in the score.

    Each player still has a part. The name pass opens its groups and fills in its printed names.
    """

    name: NameT
    parts: tuple[NameT, ...]
    """As they are written; once found, in the order of the page."""
    label: str
    """As printed before the first system of the score."""
    abbreviation: str
    span: Span
    apart: bool = False
    """`staves`: one name and one brace, but each part has a staff of its own."""


@record
class Passage:
    """`passage exchange(high, low, m, n)` and its rows."""

    name: Word
    parameters: tuple[Word, ...]
    rows: tuple[ParsedLine | ParsedMarking | Placement, ...]
    remark: str
    span: Span


@record
class Require:
    """`require` and its rows."""

    rows: tuple[Promise, ...]
    span: Span


@record
class Promised:
    """`require ...` or `without require ...` in a version."""

    promise: Promise
    holds: bool
    span: Span


@record
class Moved:
    """`movement first -> down M2`, `section first.waltz -> up P4`, `piece -> down M2`, `cello -> down P8`."""

    sort: str
    """`movement`, `section`, `piece` or `part`."""
    where: tuple[PartRef, ...]
    """The movement or section, or the parts; none for the piece."""
    through: Through[PartRef, Step]
    span: Span


@record
class Plays:
    """`horn plays clarinet, bassoon`: a part has the lines of others besides its own, and these have no part."""

    part: PartRef
    others: tuple[PartRef, ...]
    span: Span


@record
class Without:
    """`without harp, drum`, `without movement second`, `without section first.waltz`, `without subtitle`."""

    sort: str
    """`part`, `movement`, `section`, or the word of a row of `piece`."""
    what: tuple[PartRef, ...]
    span: Span


@record
class Tempi:
    """`tempi x 9:8`, `tempi of first x 1.12`: all metronome numbers of the piece, or of one movement, by a ratio."""

    movement: Word | None
    ratio: Fraction
    span: Span


VersionRow = PieceRow | Name | Force | Moved | Plays | Without | Tempi | Promised


@record
class Version:
    """`version cello "for cello"` and its rows: the same piece otherwise."""

    name: Word
    text: str
    rows: tuple[VersionRow, ...]
    remark: str
    span: Span


@record
class Limit:
    """`keyboard hand 12 semitones`, under a profile."""

    words: str
    """What is limited, its words joined by spaces."""
    number: Fraction
    unit: str
    """As written; empty where none is."""
    span: Span


@record
class Profile:
    """`profile small_hands like amateurs` and its limits: who is to play."""

    name: Word
    like: Word | None
    """The profile from which it takes what its rows do not say; None for that of professionals."""
    rows: tuple[Limit, ...]
    remark: str
    span: Span


@record
class Broken:
    """A declaration that was reported; later passes only need to know which name it would have given."""

    name: str
    span: Span


Declaration = (
    Language | Piece | Use | Name | Cipher | Definition | OwnTransform | Forces | Group | SharedStaff[Word]
    | ParsedMovement | Passage | Require | OwnMode | Version | Profile | Broken
)  # fmt: skip


@record
class Module:
    """One file."""

    source: Source
    declarations: tuple[Declaration, ...]


def bare(node: object) -> object:
    """A tree without its places, for comparing."""
    if isinstance(node, tuple):
        return tuple(map(bare, node))
    names = SLOTS.get(type(node))
    if names is None:
        return node
    values = (getattr(node, name) for name in names)
    return type(node), *(bare(value) for value in values if not isinstance(value, Span))
