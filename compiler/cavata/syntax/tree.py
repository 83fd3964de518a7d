"""The syntax tree: what a script says, before any name is looked up.

Every node has the span of its text. Numbers, pitches and durations are already values; words are
still words.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import dataclass
from cavata.source import Source, Span
from cavata.syntax.atoms import Atom, PitchRange, Ratio, Text, Word
from cavata.syntax.form import (
    Earlier,
    Ending,
    ExactForces,
    Heard,
    KeepsWithin,
    NeverBefore,
    NoParallels,
    Passage,
    Placement,
    Promise,
    Repeated,
    Require,
    Rests,
    Tacet,
    Takes,
)
from cavata.syntax.letters import ChordsLiteral, DigitsLiteral, LettersRhythm, OwnMode, SymbolBeat
from cavata.syntax.lines import (
    Bars,
    ForLength,
    Item,
    Length,
    Line,
    Marking,
    PartRef,
    Place,
    RestItem,
    RestTo,
    Times,
    UntilEnd,
)
from cavata.syntax.tree_values import (
    Argument,
    Call,
    Chain,
    ChordLiteral,
    Expression,
    Literal,
    Loose,
    NotesLiteral,
    RhythmLiteral,
    Sound,
    Step,
    Term,
)

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
    rows: tuple[Setting | Line | Marking | Placement | Tacet | Repeated | Ending, ...]
    span: Span
    earlier: Earlier | None = None
    """The section that it is made from."""


# ------------------------------------------------------------------ declarations


@dataclass(frozen=True, slots=True)
class Language:
    """`language 1`."""

    edition: int
    span: Span


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A row of `piece`: its word, and its text or language, lengths in minutes, or nothing."""

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
    """`use a, b from ciphers`, `use a from "house.cavata" as b`: no names for everything, a `Text` for a file."""

    names: tuple[Word, ...]
    origin: Word | Text
    span: Span
    alias: Word | None = None


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
    doublings: tuple[Word, ...] = ()
    """Other instruments that the player takes up, as `doubling piccolo` says."""


@dataclass(frozen=True, slots=True)
class Forces:
    """`forces` and its rows."""

    rows: tuple[Force, ...]
    span: Span
    in_order: bool = False
    """They are to stand in score order, whatever the order of the rows."""


@dataclass(frozen=True, slots=True)
class Group:
    """`group strings = violin1, violin2`."""

    name: Word
    parts: tuple[Word, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class SharedStaff:
    """`staff flutes "Flutes" short "Fl." = flute1, flute2`: parts that are written on one staff in the score."""

    name: Word
    parts: tuple[Word, ...]
    label: str
    abbreviation: str
    span: Span
    apart: bool = False
    """`staves`: one name and one brace, but each part has a staff of its own."""


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
    Language | Piece | Use | Name | Cipher | Definition | OwnTransform | Forces | Group | SharedStaff | Movement
    | Passage | Require | OwnMode | Broken
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Module:
    """One file."""

    source: Source
    declarations: tuple[Declaration, ...]
