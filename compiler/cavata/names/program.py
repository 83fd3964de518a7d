"""The bound program: every name found, every step matched with its pattern.

Unlike the syntax tree it can be evaluated without looking anything up. Definitions stand in an order in which each one
comes after those it uses. The rows of movements and promises are those of the tree, with what was found in them.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from fractions import Fraction
from typing import Generic, TypeVar

from cavata.foreign.heard import HeardScore
from cavata.instruments.instrument import Instrument, PageLanguage
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import Bars
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.record import record
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection
from cavata.transforms.table import Combination, Transform
from cavata.transforms.voicing import ChordParts

# ------------------------------------------------------------------ names


class DefinitionSort(Enum):
    """What a definition gives."""

    CIPHER = "cipher"
    NAME = "name"
    MOTIF = "motif"
    RHYTHM = "rhythm"
    FIGURE = "figure"
    TRANSFORM = "transform"
    MODE = "mode"
    PASSAGE = "passage"


@record
class Identity:
    """Which definition: its file and its name there."""

    module: str
    name: str


# ------------------------------------------------------------------ expressions


@record
class Reference:
    """A name that stands for a definition's value."""

    to: Identity
    span: Span


@record
class Parameter:
    """A parameter of the transform in whose body it stands."""

    index: int
    name: str
    span: Span


Constant = (
    int | Fraction | bool | str | None | Interval | Pitch | PitchClass | Mode | Selection | Markings | Bars | ChordParts
    | Instrument | tuple[Pitch, Pitch]
)  # fmt: skip


@record
class Given:
    """A constant argument, with the place of each of its words."""

    value: Constant
    spans: tuple[Span, ...]


@record
class Taken:
    """An argument that is a value: it must turn out to be of the kind the pattern asks for."""

    value: Bound
    wanted: str
    """The pattern's kind."""
    span: Span


BoundArgument = Given | Taken


ArgumentT = TypeVar("ArgumentT")
"""An argument of a step: bound, or computed."""
OtherArgument = TypeVar("OtherArgument")


@record
class Apply(Generic[ArgumentT]):
    """A step of the kernel."""

    transform: Transform
    arguments: tuple[ArgumentT, ...]
    text: str
    """As it stands in the script, for the notes to remember."""
    span: Span

    def given(self, arguments: tuple[OtherArgument, ...]) -> Apply[OtherArgument]:
        """The step with its arguments as the next pass knows them."""
        return Apply(self.transform, arguments, self.text, self.span)


BoundStep = Apply[BoundArgument]


@record
class ApplyOwn:
    """A step with a transform that a script defines; the value on its left is its first parameter."""

    to: Identity
    arguments: tuple[Given | Bound, ...]
    text: str
    span: Span


@record
class Clause:
    """An argument of a combination that begins with a word, as `at P5 below`."""

    pattern: str
    arguments: tuple[BoundArgument, ...]
    span: Span


@record
class Combine:
    """A combination of the kernel."""

    combination: Combination
    operands: tuple[Bound, ...]
    options: frozenset[str]
    clauses: tuple[Clause, ...]
    span: Span


@record
class CallOwn:
    """A transform that a script defines, with all its parameters in brackets."""

    to: Identity
    arguments: tuple[Given | Bound, ...]
    span: Span


@record
class BoundChain:
    """A first value, then values to add and steps to take, from left to right."""

    first: Bound
    links: tuple[Bound | BoundStep | ApplyOwn, ...]
    span: Span
    spares_rhythms: bool = False
    """A rhythm stays as it is where a step needs notes: so a whole section goes through steps."""


@record
class RhythmOfLetters:
    """Letters that become a rhythm, and what their origin is called: a name, a definition, or the text itself."""

    tree: t.LettersRhythm
    text: str
    """The letters, also where a name stands for them."""
    owner: str

    @property
    def span(self) -> Span:
        """Where it stands."""
        return self.tree.span


@record
class MelodyOfDigits:
    """Digits that become degrees of a mode, which is known, or a parameter; and what their origin is called."""

    tree: t.DigitsLiteral
    owner: str
    mode: Mode | Parameter

    @property
    def text(self) -> str:
        """The digits."""
        return self.tree.digits.text

    @property
    def span(self) -> Span:
        """Where it stands."""
        return self.tree.span


@record
class SymbolChords:
    """Chord symbols with their durations and places; None for a rest."""

    beats: tuple[tuple[ChordSymbol | None, Fraction, Span], ...]
    tree: t.ChordsLiteral

    @property
    def span(self) -> Span:
        """Where they stand."""
        return self.tree.span


@record
class TuneFrom:
    """A line of another program's score, which was read."""

    tree: t.ForeignTune
    scores: tuple[HeardScore, ...]

    @property
    def span(self) -> Span:
        """Where it stands."""
        return self.tree.span


Bound = (
    Reference | Parameter | Combine | CallOwn | BoundChain | t.NotesLiteral | t.ChordLiteral | t.RhythmLiteral
    | t.FigureLiteral    | RhythmOfLetters | MelodyOfDigits | SymbolChords | TuneFrom
)  # fmt: skip


# ------------------------------------------------------------------ definitions


@record
class CipherDefinition:
    """A cipher, its parent bound."""

    identity: Identity
    parent: Identity | None
    tree: t.Cipher


@record
class NameDefinition:
    """A name, its cipher bound."""

    identity: Identity
    cipher: Identity
    tree: t.Name


@record
class ValueDefinition:
    """A motif, a rhythm or a figure."""

    identity: Identity
    sort: DefinitionSort
    value: Bound
    tree: t.Definition


@record
class TransformDefinition:
    """A transform of a script."""

    identity: Identity
    parameters: tuple[str, ...]
    body: Bound
    tree: t.OwnTransform


@record
class ModeDefinition:
    """A mode of a script, which stands as a constant wherever it is used."""

    identity: Identity
    mode: Mode


BoundDefinition = CipherDefinition | NameDefinition | ValueDefinition | TransformDefinition | ModeDefinition


# ------------------------------------------------------------------ forces


@record
class Part:
    """One line of the forces, its instrument found, from here to the page; on a copy also several on one staff."""

    name: str
    """As the script calls it."""
    instrument: Instrument
    label: str
    """As printed before the first system of the score."""
    abbreviation: str
    soloist: bool
    span: Span
    section: bool = False
    """Named in the plural, as `violins`: several play it."""
    language: PageLanguage = PageLanguage.ENGLISH
    """In which its instrument is named on the page."""
    doublings: tuple[Instrument, ...] = ()
    """Other instruments that the player takes up."""
    own_label: bool = False
    """The composer gave the label."""
    number: str = ""
    """Among the parts of the same instrument, as `II`; empty where there is one, or the label is the composer's."""
    members: tuple[Part, ...] = ()
    """The parts that share its staff, the first on top; empty for a part of its own.
    Unpitched ones have a line each."""

    @property
    def percussion_lines(self) -> int:
        """The lines of an unpitched part's staff, one for each instrument; 0 for a pitched part, which has five."""
        return max(1, len(self.members)) if self.instrument.unpitched else 0


@record
class PartStaff:
    """One part of a row, its groups opened, and the staff that the row names; empty if it names none."""

    part: str
    staff: str
    span: Span
    voice: int = 0
    """1 for the lines of the second of two parts that a version gives to the staff: they may be its lower voice."""


# ------------------------------------------------------------------ rows


@record
class Placed:
    """A passage where it is placed: its rows, their parts known, and its arguments by the index of their parameters."""

    place: t.Place | None
    arguments: tuple[Given | Bound, ...]
    rows: tuple[PassageRow, ...]
    span: Span


BoundItem = t.Item[Bound]
BoundLine = t.Line[PartStaff, Bound]
BoundMarking = t.Marking[PartStaff, BoundStep]
BoundThrough = t.Through[PartStaff, BoundStep]
BoundDoubling = t.Doubling[PartStaff, BoundStep]
PassageRow = BoundLine | BoundMarking | BoundDoubling | Placed
BoundRow = t.Setting | t.FormRow | PassageRow | BoundThrough | t.Excerpt["BoundRow"]
BoundSection = t.Section[BoundRow]
BoundMovement = t.Movement[BoundRow]


@record
class Where:
    """A section of a movement; without a section the whole movement, without both the piece."""

    movement: str
    section: str
    span: Span


BoundPromise = (
    t.Heard[Reference, Where] | t.NeverBefore[Reference, Where] | t.KeepsWithin[PartStaff] | t.Takes[Where]
    | t.ExactForces[PartStaff] | t.NoParallels[PartStaff, Where] | t.Rests[PartStaff]
    | t.Playable[PartStaff]
)  # fmt: skip

# ------------------------------------------------------------------ the whole


@record
class Program:
    """Everything a piece needs, in an order in which it can be evaluated."""

    main: str
    """The name of the piece's own file."""
    definitions: tuple[BoundDefinition, ...]
    piece: t.Piece | None
    forces: tuple[Part, ...]
    groups: Mapping[str, tuple[str, ...]]
    movements: tuple[BoundMovement, ...]
    promises: tuple[BoundPromise, ...] = ()
    """What the piece requires."""
    staves: tuple[t.SharedStaff[str], ...] = ()
    """Those that several parts share in the full score, from the top of the page."""
    unused: tuple[tuple[Identity, Span], ...] = ()
    """What a piece's own file defines and nothing uses."""
    silent: frozenset[str] = frozenset()
    """Parts that leave the piece once everything is placed: a version is without them."""
    profiles: tuple[t.Profile, ...] = ()
    """Those that it declares; each is like one before it."""
    unread: bool = False
    """A movement of its own file could not be read, which was reported."""
