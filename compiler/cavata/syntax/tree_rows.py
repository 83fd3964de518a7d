"""The rows of movements, and of what a piece requires: one family for all passes.

A row is read with words in it, then bound, then computed. What it knows changes from pass to pass, and its class does
not: `Line[PartRef, Expression]` as it is read, `Line[PartStaff, Bound]` once its names are found, and
`Line[PartStaff, Music]` once it is computed; `names/program.py` and `evaluate/plan.py` say which row is which there. A
field that only a later pass can fill is empty until then.

The rows of settings are alike in all passes; the name pass leaves out those that cannot be.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Generic, TypeVar

from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, PitchClass
from cavata.record import record
from cavata.source import Span
from cavata.syntax.tree_values import Bars, ChainStep, Expression, ForLength, Held, Loose, Step, Times, Word

PartT = TypeVar("PartT")
"""A part: as it is written, or found."""
ValueT = TypeVar("ValueT")
"""The value of an item: an expression, then bound, then computed."""
StepT = TypeVar("StepT")
"""The step of a marking, likewise."""
NameT = TypeVar("NameT")
"""A name that a promise speaks of, or that a statement gives: as it is written, or found."""
WhereT = TypeVar("WhereT")
"""A movement or section of which a promise speaks: as it is written, or found."""
RowT = TypeVar("RowT")
"""A row of a section."""
OtherPart = TypeVar("OtherPart")
OtherValue = TypeVar("OtherValue")
OtherStep = TypeVar("OtherStep")
OtherRow = TypeVar("OtherRow")

Length = Bars | Fraction

# ------------------------------------------------------------------ score lines


@record
class PartRef:
    """`piano.right`; no staff for `piano`."""

    part: Word
    staff: Word | None
    span: Span


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
class UntilEnd:
    """`until end`: `for` what is left of the section."""

    span: Span


@record
class Item(Generic[ValueT]):
    """A value in a score line, and how often or how long it sounds."""

    value: ValueT
    repeat: Times | ForLength | UntilEnd | Held | None
    over: bool
    """It may sound on beyond its section."""
    span: Span

    def holding(self, value: OtherValue) -> Item[OtherValue]:
        """The item with its value as the next pass knows it."""
        return Item(value, repeat=self.repeat, over=self.over, span=self.span)


@record
class RestItem:
    """`2 bars rest`."""

    length: Length
    span: Span


@record
class RestTo:
    """`rest to bar 5`."""

    bar: int
    span: Span


@record
class Within:
    """Where a passage is placed; None where the section or passage around it begins."""

    place: Place | None
    span: Span


@record
class Line(Generic[PartT, ValueT]):
    """`PARTS at ...: items`."""

    parts: tuple[PartT, ...]
    place: Place | None
    items: tuple[Item[ValueT] | RestItem | RestTo, ...]
    span: Span
    replaces: bool = False
    """It silences what its parts had there."""
    ossia: bool = False
    """It stands on a small staff above what its part plays, and does not sound."""
    tacet: tuple[PartT, ...] = ()
    """Of its parts those that are silent, in a section made from another: filled by the name pass."""
    within: tuple[Within, ...] = ()
    """The passages it stands in, the outermost first: filled by the evaluator, which opens them."""

    def playing(
        self, parts: tuple[OtherPart, ...], items: tuple[Item[OtherValue] | RestItem | RestTo, ...],
        tacet: tuple[OtherPart, ...] = (), within: tuple[Within, ...] = (),
    ) -> Line[OtherPart, OtherValue]:
        """The line with its parts and items as the next pass knows them."""
        return Line(
            parts, place=self.place, items=items, span=self.span, replaces=self.replaces, ossia=self.ossia, tacet=tacet,
            within=within,
        )


@record
class Marking(Generic[PartT, StepT]):
    """`PARTS bars N to M: step`."""

    parts: tuple[PartT, ...]
    first: int
    last: int
    step: StepT
    span: Span
    within: tuple[Within, ...] = ()
    """The passages it stands in, the outermost first: filled by the evaluator, which opens them."""

    def taking(
        self, parts: tuple[OtherPart, ...], step: OtherStep, within: tuple[Within, ...] = ()
    ) -> Marking[OtherPart, OtherStep]:
        """The marking with its parts and step as the next pass knows them."""
        return Marking(parts, first=self.first, last=self.last, step=step, span=self.span, within=within)


@record
class Doubling(Generic[PartT, StepT]):
    """`cello doubles violin1 bars 5 to 8 -> down P8`: the parts play what another plays there."""

    parts: tuple[PartT, ...]
    model: tuple[PartT, ...]
    """The part that they double: one, with its staff if it is named."""
    first: int
    last: int
    """The bars from first to last; both are 0 for the whole section."""
    steps: tuple[StepT, ...]
    span: Span

    def taking(
        self, parts: tuple[OtherPart, ...], model: tuple[OtherPart, ...], steps: tuple[OtherStep, ...]
    ) -> Doubling[OtherPart, OtherStep]:
        """The doubling with its parts and steps as the next pass knows them."""
        return Doubling(parts, model, self.first, self.last, steps, self.span)


@record
class Placement:
    """`passage exchange(bassoon, harp, hail, reply) at bar 21 -> up P4`."""

    name: Word
    arguments: tuple[Expression | Loose | PartRef, ...]
    place: Place | None
    span: Span
    steps: tuple[Step, ...] = ()
    """What every item of the passage goes through."""


@record
class Through(Generic[PartT, StepT]):
    """What the heading of a section or movement says after its arrows: all that sounds there goes through the steps."""

    parts: tuple[PartT, ...]
    """Only these; none for everybody, and the keys."""
    steps: tuple[StepT, ...]
    span: Span


# ------------------------------------------------------------------ settings


@record
class MeterRow:
    """`meter 7/8 as 2+2+3`, `meter alla breve`; no numerator for `meter none`."""

    place: Place | None
    numerator: int
    denominator: int
    groups: tuple[int, ...]
    span: Span
    sign: str = ""
    """`common` or `cut`: the sign that stands for it on the page."""


@record
class KeyRow:
    """`key D minor`; no tonic for `key none`."""

    place: Place | None
    tonic: PitchClass | None
    mode: Word | None
    """The name pass vouches that it is one that has a signature over the tonic."""
    span: Span

    @property
    def key(self) -> Mode | None:
        """The key, once the name pass has let the row through; None for `key none`."""
        return None if self.tonic is None or self.mode is None else Mode(self.tonic, self.mode.text)


@record
class TempoRow:
    """`tempo 1/4 at 96, "With the tide"`; words alone leave the rate as it was.

    `broadening to 1/4 at 48 over 4 bars`, `pressing on to ...` and `"rit." to ...` lead there; `back in tempo`, or
    `back in tempo, "a tempo"`, undoes such a change.
    """

    place: Place | None
    beat: Fraction | None
    per_minute: Fraction | None
    words: str
    span: Span
    bend: str = ""
    """`broadening` or `pressing on`; empty where the composer has words of their own."""
    over: Length | None = None
    back: bool = False
    equals: Fraction | None = None
    """`1/4. = 1/4`: the note value of the tempo before that is as long as `beat` from here on."""
    fixed: bool = False
    """The metronome number stays when the tempi of the piece are multiplied."""


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

# ------------------------------------------------------------------ sections and movements


@record
class Earlier:
    """`= opening -> up m3`, `= first.opening bars 3 to 6`: what a section is made from, and the steps of its items."""

    section: PartRef
    steps: tuple[ChainStep, ...]
    span: Span
    bars: tuple[int, int] | None = None
    """Only these of its bars, from and to."""


@record
class Tacet:
    """`tacet bassoon, harp`."""

    parts: tuple[PartRef, ...]
    span: Span


MOST_TIMES = 100
"""A section is played so often at most."""


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


@record
class FormSign:
    """`segno`, `coda`, `fine`, `to coda`, `dal segno al coda`: where the playing goes on elsewhere, or ends."""

    word: str
    """As written, its words parted by single spaces."""
    span: Span


RepeatRow = Repeated | Ending
FormRow = Repeated | Ending | FormSign


@record
class Section(Generic[RowT]):
    """A section and its rows. The unnamed one holds lines that stand in the movement itself."""

    name: Word | None
    title: str
    bars: int | None
    rows: tuple[RowT, ...]
    """As they stand, whatever they say; once bound, also those of the section that it is made from."""
    span: Span
    earlier: Earlier | None = None
    """The section that it is made from."""
    upbeat: Fraction | None = None
    """How long before its first bar it begins, in the last bar of the section before: filled by the name pass."""

    def having(self, rows: tuple[OtherRow, ...]) -> Section[OtherRow]:
        """The section with its rows as the next pass knows them."""
        return Section(
            self.name, title=self.title, bars=self.bars, rows=rows, span=self.span, earlier=self.earlier,
            upbeat=self.upbeat,
        )

    @property
    def called(self) -> str:
        """Its name; empty for the unnamed one."""
        return self.name.text if self.name else ""

    @property
    def settings(self) -> tuple[Setting, ...]:
        """Its rows of meter, key, tempo and the like."""
        return tuple(row for row in self.rows if isinstance(row, Setting))

    @property
    def repeats(self) -> tuple[RepeatRow, ...]:
        """Its rows of repeats and endings."""
        return tuple(row for row in self.rows if isinstance(row, RepeatRow))

    @property
    def form_signs(self) -> tuple[FormSign, ...]:
        """Its signs and words for the order of playing."""
        return tuple(row for row in self.rows if isinstance(row, FormSign))


@record
class Excerpt(Generic[RowT]):
    """Bars of another section, as a row of the section that is made from them: put there by the name pass."""

    section: Section[RowT]
    """The other one, its items already taken through the steps."""
    first: int
    last: int
    span: Span

    def having(self, rows: tuple[OtherRow, ...]) -> Excerpt[OtherRow]:
        """The excerpt with the rows of its section as the next pass knows them."""
        return Excerpt(self.section.having(rows), first=self.first, last=self.last, span=self.span)


@record
class Movement(Generic[RowT]):
    """A movement or a cadenza with its settings and sections."""

    name: Word
    title: str
    is_cadenza: bool
    settings: tuple[Setting, ...]
    sections: tuple[Section[RowT], ...]
    remark: str
    span: Span
    through: Through[PartRef, Step] | None = None
    """What its heading says: the name pass makes it a row of every section."""

    def having(
        self, settings: tuple[Setting, ...], sections: tuple[Section[OtherRow], ...]
    ) -> Movement[OtherRow]:
        """The movement with its settings and sections as the next pass knows them."""
        return Movement(
            self.name, title=self.title, is_cadenza=self.is_cadenza, settings=settings, sections=sections,
            remark=self.remark, span=self.span,
        )


# ------------------------------------------------------------------ what a piece requires


@record
class Heard(Generic[NameT, WhereT]):
    """`tamsin, corwen heard in first, alone`: every letter of them; no movements for `every movement`."""

    names: tuple[NameT, ...]
    movements: tuple[WhereT, ...]
    span: Span


@record
class NeverBefore(Generic[NameT, WhereT]):
    """`hedda never before turning`: a section, `movement.section`, or a movement."""

    names: tuple[NameT, ...]
    place: WhereT
    span: Span


@record
class KeepsWithin(Generic[PartT]):
    """`bassoon within Bb1..C5`."""

    parts: tuple[PartT, ...]
    low: Pitch
    high: Pitch
    span: Span


@record
class Takes(Generic[WhereT]):
    """`length of piece 3 min to 5 min`; the lengths in minutes."""

    what: WhereT
    least: Fraction
    most: Fraction
    span: Span


@record
class ExactForces(Generic[PartT]):
    """`forces bassoon, harp, strings`: no fewer and no more."""

    parts: tuple[PartT, ...]
    span: Span


@record
class NoParallels(Generic[PartT, WhereT]):
    """`no parallel fifths between violin, cello in opening`; no places for the whole piece."""

    interval: str
    """`fifths` or `octaves`."""
    parts: tuple[PartT, ...]
    places: tuple[WhereT, ...]
    span: Span


@record
class Rests(Generic[PartT]):
    """`bassoon rest at least 1/2 within 8 bars`: within any so many."""

    parts: tuple[PartT, ...]
    length: Length
    bars: int
    span: Span


@record
class Playable(Generic[PartT]):
    """`harp playable by small_hands`; no parts for all."""

    parts: tuple[PartT, ...]
    by: Word
    """The name of a profile."""
    span: Span
