"""The checked tree: every name bound, every step matched with its signature.

Unlike the syntax tree it can be evaluated without looking anything up. Definitions stand in an
order in which each one comes after those it uses.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from fractions import Fraction

from cavata.instruments.instrument import Instrument, Language
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.record import record
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.combinations import Bars
from cavata.transforms.dress import Markings
from cavata.transforms.selection import Selection
from cavata.transforms.table import Combination, Transform
from cavata.transforms.voicing import Players


class Sort(Enum):
    """What a definition gives."""

    CIPHER = "cipher"
    NAME = "name"
    MOTIF = "motif"
    RHYTHM = "rhythm"
    TRANSFORM = "transform"
    MODE = "mode"
    PASSAGE = "passage"


@record
class Identity:
    """Which definition: its file and its name there."""

    module: str
    name: str


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
    int | Fraction | bool | str | Interval | Pitch | PitchClass | Mode | Selection | Markings | Bars | Players
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


@record
class Apply:
    """A step of the kernel."""

    transform: Transform
    arguments: tuple[BoundArgument, ...]
    text: str
    """As it stands in the script, for the notes to remember."""
    span: Span


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
    links: tuple[Bound | Apply | ApplyOwn, ...]
    span: Span
    spares_rhythms: bool = False
    """A rhythm stays as it is where a step needs notes: so a whole section goes through steps."""


@record
class RhythmOfLetters:
    """Letters that become a rhythm, and what their origin is called: a name, a definition, or the text itself."""

    kind: str
    """`morse` or `durations`."""
    text: str
    owner: str
    unit: Fraction
    alphabet: int
    letters: Span
    """The place of the text or name."""
    span: Span


@record
class MelodyOfDigits:
    """Digits that become degrees of a mode."""

    text: str
    owner: str
    mode: Mode | Parameter
    digits: Span
    span: Span


@record
class SymbolChords:
    """Chord symbols with their durations and places; None for a rest."""

    beats: tuple[tuple[ChordSymbol | None, Fraction, Span], ...]
    span: Span


Bound = (
    Reference | Parameter | Combine | CallOwn | BoundChain | t.NotesLiteral | t.ChordLiteral | t.RhythmLiteral
    | RhythmOfLetters | MelodyOfDigits | SymbolChords
)  # fmt: skip


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
    """A motif or rhythm."""

    identity: Identity
    sort: Sort
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


Definition = CipherDefinition | NameDefinition | ValueDefinition | TransformDefinition | ModeDefinition


@record
class BoundForce:
    """A row of the forces, its instrument found."""

    name: str
    instrument: Instrument
    plural: bool
    soloist: bool
    label: str
    abbreviation: str
    span: Span
    language: Language = Language.ENGLISH
    """In which its instrument is named on the page."""
    own_label: bool = False
    """The composer gave the label."""
    doublings: tuple[Instrument, ...] = ()
    """Other instruments that the player takes up."""
    number: str = ""
    """Among the parts of the same instrument, as `II`; empty where there is one, or the label is the composer's."""


@record
class BoundStaff:
    """A staff of the score that several parts share, its names as printed."""

    name: str
    label: str
    abbreviation: str
    parts: tuple[str, ...]
    span: Span
    apart: bool = False
    """Each part has a staff of its own, under one name."""


@record
class BoundItem:
    """A value in a score line."""

    value: Bound
    repeat: t.Times | t.ForLength | t.UntilEnd | None
    over: bool
    span: Span


@record
class PartStaff:
    """One part of a line, and the staff it names, if it does."""

    part: str
    staff: str
    span: Span


@record
class BoundLine:
    """A score line, its parts found and its groups opened."""

    parts: tuple[PartStaff, ...]
    place: t.Place | None
    items: tuple[BoundItem | t.RestItem | t.RestTo, ...]
    span: Span
    replaces: bool = False
    """It silences what its parts had there."""
    tacet: tuple[PartStaff, ...] = ()
    """Of its parts those that are silent."""


@record
class BoundMarking:
    """A marking over bars."""

    parts: tuple[PartStaff, ...]
    first: int
    last: int
    step: Apply
    span: Span


@record
class BoundKey:
    """A key row, its mode known; None for `key none`."""

    place: t.Place | None
    mode: Mode | None
    span: Span


@record
class BoundPlaced:
    """A passage where it is placed: its rows, their parts known, and its arguments by the index of their parameters."""

    place: t.Place | None
    arguments: tuple[Given | Bound, ...]
    rows: tuple[BoundRow, ...]
    span: Span


BoundRow = BoundLine | BoundMarking | BoundPlaced
BoundSetting = t.MeterRow | BoundKey | t.TempoRow | t.PickupRow | t.Attacca


@record
class BoundSection:
    """A section."""

    name: str
    title: str
    bars: int | None
    settings: tuple[BoundSetting, ...]
    lines: tuple[BoundRow, ...]
    span: Span
    repeats: tuple[t.Repeated | t.Ending, ...] = ()
    upbeat: Fraction = Fraction(0)
    """How long before its first bar it begins, in the last bar of the section before."""


@record
class BoundMovement:
    """A movement or cadenza."""

    name: str
    title: str
    is_cadenza: bool
    settings: tuple[BoundSetting, ...]
    sections: tuple[BoundSection, ...]
    span: Span


@record
class Program:
    """Everything a piece needs, in an order in which it can be evaluated."""

    main: str
    """The name of the piece's own file."""
    definitions: tuple[Definition, ...]
    piece: t.Piece | None
    forces: tuple[BoundForce, ...]
    groups: Mapping[str, tuple[str, ...]]
    movements: tuple[BoundMovement, ...]
    promises: tuple[Promised, ...] = ()
    """What the piece requires."""
    staves: tuple[BoundStaff, ...] = ()
    """Those that several parts share in the full score, from the top of the page."""


# ----------------------------------------------------------------
# What a piece requires, its names found: the checked form of the rows of `require`.


@record
class PromisedName:
    """A name and the word that stands for it in the row."""

    to: Identity
    span: Span


@record
class Where:
    """A section of a movement; without a section the whole movement."""

    movement: str
    section: str
    span: Span


@record
class PromisedHeard:
    """Names that are heard, every letter of them, in movements; without any in every one."""

    names: tuple[PromisedName, ...]
    movements: tuple[Where, ...]
    span: Span


@record
class PromisedNeverBefore:
    """Names of which no letter sounds before a place."""

    names: tuple[PromisedName, ...]
    place: Where
    span: Span


@record
class PromisedRange:
    """Parts that keep to a range."""

    parts: tuple[PartStaff, ...]
    low: Pitch
    high: Pitch
    span: Span


@record
class PromisedLength:
    """How long the piece, or a movement, takes, in minutes; no movement for the piece."""

    movement: str
    least: Fraction
    most: Fraction
    span: Span


@record
class PromisedForces:
    """The parts that there are, no fewer and no more."""

    parts: tuple[PartStaff, ...]
    span: Span


@record
class PromisedNoParallels:
    """Parts between which there are no parallel fifths, or octaves; without places in the whole piece."""

    interval: str
    parts: tuple[PartStaff, ...]
    places: tuple[Where, ...]
    span: Span


@record
class PromisedRests:
    """Parts that rest at least so long within any so many bars."""

    parts: tuple[PartStaff, ...]
    length: t.Length
    bars: int
    span: Span


Promised = (
    PromisedHeard | PromisedNeverBefore | PromisedRange | PromisedLength | PromisedForces | PromisedNoParallels
    | PromisedRests
)  # fmt: skip
