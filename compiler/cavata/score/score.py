"""The score: every event at its exact onset, at concert pitch, before anything is notated.

Onsets are exact fractions of a whole note from the beginning of the movement (its pickup
included). Within a voice events are in order and never overlap; the gaps between them are rests.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import field
from enum import Enum
from fractions import Fraction
from itertools import chain
from math import lcm

from cavata.evaluate.text import event_text
from cavata.instruments.instrument import Instrument, PageLanguage
from cavata.music.event import NOTHING, Event, Marks, told
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch
from cavata.names.paper import USUAL, Paper
from cavata.names.program import Part as Part
from cavata.record import record, replace
from cavata.source import Span
from cavata.syntax import tree


@record
class Meter:
    """A time signature and the beats it is felt in: 7/8 as 2+2+3 has the groups (2, 2, 3)."""

    numerator: int
    denominator: int
    groups: tuple[int, ...]
    """Beats in units of the denominator; they sum to the numerator. 6/8 has (3, 3), 4/4 (1, 1, 1, 1)."""
    as_given: bool = False
    """The script gave the groups, so the page may show them."""
    sign: str = ""
    """`common` or `cut`: the sign that is printed in the place of its numbers."""

    @property
    def duration(self) -> Fraction:
        """The length of a bar, in whole notes."""
        return Fraction(self.numerator, self.denominator)

    def __str__(self) -> str:
        return f"{self.numerator}/{self.denominator}"


SEGNO, CODA, FINE, TO_CODA = "segno", "coda", "fine", "to coda"
AT_THE_BEGINNING = (SEGNO, CODA)
"""Signs of the form that stand at the beginning of a section, in the words of the script; all others at the end."""


def is_jump(word: str) -> bool:
    """Whether words of the form send the player back: `da capo`, `dal segno al coda`."""
    return word.startswith(("da capo", "dal segno"))


@record
class ScoreBar:
    """One bar of the movement, the same for every part."""

    number: int
    """As printed, counted from 1 in the movement; 0 for a pickup."""
    onset: Fraction
    duration: Fraction
    meter: Meter | None
    """None in free time: the bar then has no bar line and its length is what its events need."""
    key: Mode | None
    """None where the script says `key none` or nothing."""
    section: int
    """Index into the movement's sections."""
    bar_in_section: int
    """As the script counts: from 1 in each section, 0 for a pickup."""
    repeat_begins: bool = False
    """Here the playing begins again when it goes back."""
    repeat_ends: int = 0
    """How often a repeat is played in all that goes back at the end of this bar; 0 if it goes on."""
    ending: tuple[int, ...] = ()
    """The times through at which this bar is played; empty for always."""
    opens: tuple[str, ...] = ()
    """Of AT_THE_BEGINNING: what stands at its beginning."""
    closes: tuple[str, ...] = ()
    """`fine`, `to coda`, or a jump as `da capo al fine`: what stands at its end."""
    before: Fraction = Fraction(0)
    """How much of the bar lies before it, where a sign divides a bar in two; they have one number."""

    @property
    def end(self) -> Fraction:
        """Where it is over."""
        return self.onset + self.duration

    @property
    def begin(self) -> Fraction:
        """Where the bar begins from which its beats are counted."""
        return self.onset - self.before

    @property
    def leads_on(self) -> bool:
        """It is the end of a bar only: a pickup, or what comes after a sign that divides a bar."""
        return self.bar_in_section == 0 or self.before > 0

    @property
    def fifths(self) -> int:
        """Sharps of its signature, or flats if negative; 0 where there is no key."""
        return self.key.fifths if self.key else 0


def bar_at(bars: Sequence[ScoreBar], onset: Fraction) -> ScoreBar:
    """The bar in which a moment lies: of a movement's bars, which are not empty, the last for all that comes later."""
    return bars[bar_index_at(bars, onset)]


def bar_index_at(bars: Sequence[ScoreBar], onset: Fraction) -> int:
    """The index of the bar that `bar_at` finds; 0 where there are no bars."""
    return max(0, bisect_right(bars, onset, key=lambda bar: bar.onset) - 1)


@record
class Tempo:
    """A metronome mark from its onset on; `beat` is the note value counted, dotted or not."""

    onset: Fraction
    beat: Fraction
    per_minute: Fraction
    words: str = ""
    printed: bool = True
    """False for a tempo that only goes on from the movement before, or that was assumed."""
    metronome: bool = True
    """False where the script gave words only: the rate goes on and is not printed."""
    until: Fraction | None = None
    """Where a change of tempo arrives that begins here; None for a steady tempo."""
    goal: Fraction = Fraction(0)
    """How long a whole note lasts there, in seconds."""
    equals: Fraction | None = None
    """The note value of the tempo before that its beat is as long as; it is printed so, and without a figure."""
    keyword: bool = False
    """The words are not the composer's but a keyword, as `broadening`, which the page says in its own language."""

    @property
    def seconds_per_whole(self) -> Fraction:
        """How long a whole note lasts, in seconds."""
        return 60 / (self.per_minute * self.beat)

    def seconds_at(self, onset: Fraction) -> Fraction:
        """How long a whole note lasts at a moment, in seconds; while the tempo changes, it grows or shrinks evenly."""
        first = self.seconds_per_whole
        if self.until is None or onset <= self.onset:
            return first
        if onset >= self.until:
            return self.goal
        return first + (self.goal - first) * (onset - self.onset) / (self.until - self.onset)


@record
class Section:
    """A named stretch of a movement."""

    name: str
    title: str
    onset: Fraction
    first_bar: int
    """Index into the movement's bars."""
    span: Span | None = field(default=None, compare=False)
    """Its place in the script."""


@record
class ScoreEvent:
    """An event where it sounds. Its rests are left out, but in a part for those that have a fermata."""

    onset: Fraction
    event: Event
    line: Span
    """The item of the score line that put it there."""
    voice: int = 0
    """On a staff that two lines share: 0 for the upper, 1 for the lower."""
    tied_before: bool = False
    """It goes on from the event before without being struck again: a note divided so that a marking can begin in it."""
    tied_after: bool = False
    """It goes on into the next event of its voice."""
    held_before: tuple[Pitch, ...] = ()
    """In a reduction: those of its pitches that only go on from the event before, while others are struck."""
    held_after: tuple[Pitch, ...] = ()
    """Those that go on into the next event, while others end or are struck again."""
    turn: Fraction = Fraction(0)
    """When the turn of its item began, the item being repeated or not, in whole notes from the movement's beginning:
    an item that stands several times in the score has other turns each time."""

    @property
    def end(self) -> Fraction:
        """Where it stops sounding, in whole notes from the movement's beginning."""
        return self.onset + self.event.duration

    def with_marks(self, marks: Marks) -> ScoreEvent:
        """The same with other marks."""
        return replace(self, event=replace(self.event, marks=marks))

    def marked(self, marks: Marks) -> ScoreEvent:
        """The same with further marks."""
        return replace(self, event=self.event.marked(marks))

    def up_to(self, end: Fraction) -> ScoreEvent:
        """The same, lasting no longer than to a moment after its onset."""
        return self if self.end <= end else replace(self, event=self.event.lasting(end - self.onset))

    def can_be_divided(self, moment: Fraction) -> bool:
        """Whether it is divided into sixteenths or longer values where it is divided there; others are hard to read."""
        return all((length * 16).denominator == 1 for length in (moment - self.onset, self.end - moment))

    def follows(self, before: ScoreEvent) -> bool:
        """Whether it begins just where the other ends, as most events do; cheaper than to ask where that is."""
        begun, unit = before.onset.as_integer_ratio()
        lasting, its_unit = before.event.duration.as_integer_ratio()
        onset, own_unit = self.onset.as_integer_ratio()
        return (begun * its_unit + lasting * unit) * own_unit == onset * unit * its_unit


@record
class Cue:
    """A few bars of another part that a reader sees in small notes before an entry. They never sound."""

    onset: Fraction
    end: Fraction
    """Whole bars, from and to, or a stretch of free time; the reader has no note in them."""
    label: str
    """Whose they are, as an abbreviation."""
    events: tuple[ScoreEvent, ...]
    """At concert pitch, in order; none overlaps another."""


@record
class Staff:
    """The music of one staff: usually one voice."""

    name: str
    """Empty for the only staff of a part, else `right`, `left`, `middle` or `pedal`."""
    voices: tuple[tuple[ScoreEvent, ...], ...]
    cues: tuple[Cue, ...] = ()
    """On a part only, in order; none overlaps another."""
    ossia: tuple[tuple[ScoreEvent, ...], ...] = ()
    """The voices of another reading, on a small staff above this one in each bar in which it has a note. It never
    sounds."""

    @property
    def as_ossia(self) -> Staff:
        """The small staff above, as a staff of its own."""
        return Staff(ossia_of(self.name), self.ossia)


def ossia_of(staff: str) -> str:
    """How the small staff above a staff is called."""
    return f"{staff} ossia".lstrip()


def with_ossias(staves: Iterable[Staff]) -> Iterator[Staff]:
    """The staves of a part, the small ones above them included, from the top."""
    for staff in staves:
        if staff.ossia:
            yield staff.as_ossia
        yield staff


def without_ossias(staves: Sequence[Staff]) -> tuple[Staff, ...]:
    """The staves of a part without the small ones above them."""
    return tuple(replace(staff, ossia=()) if staff.ossia else staff for staff in staves)


def events_of(staves: Iterable[Staff]) -> Iterator[ScoreEvent]:
    """Every event of some staves, staff by staff and voice by voice."""
    for staff in staves:
        for voice in staff.voices:
            yield from voice


def rolled_across(staves: Sequence[Staff]) -> frozenset[Fraction]:
    """Where both staves of a player have a rolled chord, or a note of one: it is rolled from the lowest note of all."""
    rolled = [
        {event.onset for event in events_of((staff,)) if any(o.kind == "rolled" for o in event.event.marks.ornaments)}
        for staff in staves
    ]
    return frozenset(rolled[0] & rolled[1]) if len(rolled) > 1 else frozenset()


SharedStaff = tree.SharedStaff[str]
"""Parts that are written on one staff of the score, in the order of the page; each player still has a part."""


class GroupSign(Enum):
    """What stands before the staves of a group."""

    BRACKET = "bracket"
    SQUARE = "square"
    """A thin bracket inside another, for players of one instrument."""
    BRACE = "brace"
    """For a section that is divided on several staves, which are left out of a system together or not at all."""


@record
class Group:
    """Parts that stand together under one bracket."""

    name: str
    parts: tuple[str, ...]
    sign: GroupSign = GroupSign.BRACKET
    joined: bool = True
    """Bar lines run through its staves; not through those of a choir, for the words."""
    label: str = ""
    """Before the first system, in the place of the names of its parts; empty where they have their own."""
    abbreviation: str = ""
    customary: bool = False
    """It is drawn by custom, as the bracket of a family; else the composer named it."""
    one_player: bool = False
    """A percussionist has all of it: its parts are instruments, each with its name beside that of the player."""


@record
class InstrumentChange:
    """Bars of a movement in which a player has taken up another instrument."""

    part: str
    begin: Fraction
    """In whole notes from the beginning of the movement."""
    end: Fraction
    instrument: Instrument
    span: Span


SURELY_WRITTEN = 256
"""A bar in which all is whole in so many parts of a whole note at most needs no value below 1/1024: brackets write
values longer than they sound, but for duplets and quadruplets, which halve them at most."""


@record
class Movement:
    """One movement or cadenza: its bars, its tempi, and the music of every part of the piece."""

    name: str
    title: str
    is_cadenza: bool
    attacca: bool
    duration: Fraction
    """In whole notes, the pickup included."""
    bars: tuple[ScoreBar, ...]
    """They follow one another without gap from onset 0 to the duration."""
    sections: tuple[Section, ...]
    tempi: tuple[Tempo, ...]
    """In order; the first is at onset 0."""
    staves: tuple[tuple[Staff, ...], ...]
    """For each part of the score, in its order, its staves; a silent part has empty voices."""
    span: Span
    playing: tuple[tuple[Fraction, Fraction], ...] = ()
    """From and to, stretch after stretch as they sound; empty if it is played as it stands."""
    changes: tuple[InstrumentChange, ...] = ()
    """Where players have taken up other instruments, in order for each; they do not overlap."""
    letters_before: int = 0
    """Where letters run through the movements: how many rehearsal marks the movements before it have."""

    @property
    def letters(self) -> int:
        """How many rehearsal marks it has: one where each section begins, none if it is a single section."""
        begins = len({section.first_bar for section in self.sections})
        return begins if begins > 1 else 0

    @property
    def events(self) -> Iterator[ScoreEvent]:
        """Every event, part by part."""
        return events_of(chain.from_iterable(self.staves))

    @property
    def divisions(self) -> int:
        """The parts of a whole note in which every onset and duration of its bars, events and ossias is whole."""
        denominators = {length.denominator for bar in self.bars for length in (bar.onset, bar.duration)}
        for event in events_of(staff for part in self.staves for staff in with_ossias(part)):
            denominators.add(event.onset.denominator)
            denominators.add(event.event.duration.denominator)
        return lcm(*denominators)

    def section_of(self, bar: ScoreBar) -> str:
        """The name of the section in which a bar lies; empty for none."""
        return self.sections[bar.section].name if bar.section < len(self.sections) else ""

    def instrument_of(self, part: Part, onset: Fraction) -> Instrument:
        """What the player of a part has in hand at a moment."""
        here = (change for change in self.changes if change.part == part.name and change.begin <= onset < change.end)
        found = next(here, None)
        return part.instrument if found is None else found.instrument


class CopyKind(Enum):
    """For whom a score is made."""

    SCORE = "score"
    """The conductor: every part."""
    PART = "part"
    """One player or desk."""
    SHORT = "short score"
    """The study: the whole on a few staves."""
    REHEARSAL = "rehearsal"
    """A soloist with a pianist: the solo line above the rest on two staves."""


@record
class Header:
    """What the title page says, and how the score is to be shown."""

    title: str
    subtitle: str = ""
    composer: str = ""
    dedication: str = ""
    shortest: Fraction | None = None
    """The length asked for, in minutes."""
    longest: Fraction | None = None
    concert_score: bool = False
    show_letters: bool = False
    paper: Paper = USUAL
    title_page: bool | None = None
    """Whether a page of its own stands before the music; None if the script leaves it to the length of the score."""
    proof: bool = False
    """A copy for those who read proofs: every bar numbered, and the lines of the script beside the notes."""
    colors: tuple[tuple[str, str], ...] = ()
    """Where colors are shown: the names that are heard, each with its color, as `#0072B2`."""
    kind: CopyKind = CopyKind.SCORE
    every_staff: bool = False
    """No staff is left out of a system in which it is silent."""
    reader: str = ""
    """On a part or a rehearsal copy, whose it is, as printed above the first system."""
    language: PageLanguage = PageLanguage.ENGLISH
    """Of the words that the composer did not give."""
    foot: str = ""
    """What stands at the foot of every page; on a proof copy that it is one."""
    poet: str = ""
    """Who wrote the words."""
    arranger: str = ""
    copyright: str = ""
    """As it is to be printed at the foot of the first page of music."""
    publisher: str = ""
    number: str = ""
    """Of the edition, at the foot of every page."""
    notes: tuple[str, ...] = ()
    """On performance, each a paragraph before the score."""
    rehearsal_piano: bool = False
    """A piano that plays with everybody stands under the full score, for rehearsals."""
    harp_pedals: str = ""
    """What is printed of a harp's pedals: settings and changes; with `settings` no changes, with `none` nothing."""
    timpani_tuning: bool = True
    """Which drums are tuned to what is printed."""
    arranged_by: str = ""
    """The arranger as named under the composer, as `arr. B. Lind`: filled by the notation pass."""


@record
class TitlePage:
    """What stands on a page before the music beside the titles, in words."""

    instrumentation: str
    """In the usual short form."""
    forces: tuple[str, ...]
    """In full, one line each; empty where the short form has said it."""
    length: str
    movements: tuple[tuple[str, str], ...]
    """Titles and lengths; empty for a piece of one movement."""
    notes: tuple[str, ...]
    """How the score is to be read."""
    people: tuple[str, ...] = ()
    """Who wrote the words, and who arranged the piece, each as `Words: C. Poet`."""


@record
class Score:
    """The whole piece at concert pitch."""

    header: Header
    parts: tuple[Part, ...]
    """In score order: as the script lists its forces."""
    groups: tuple[Group, ...]
    movements: tuple[Movement, ...]
    shared: tuple[SharedStaff, ...] = ()
    """What the full score writes on one staff; the parts above stand apart all the same."""
    title_page: TitlePage | None = None
    """Made with a copy that may have one; the page stands there if the script asks for it, or if the copy is long."""

    @property
    def players(self) -> tuple[Part, ...]:
        """The parts, those that share a staff each for itself."""
        return tuple(player for part in self.parts for player in (part.members or (part,)))

    @property
    def percussion_sets(self) -> tuple[tuple[SharedStaff, tuple[Part, ...]], ...]:
        """The staves of unpitched instruments alone, which one player has, with those of their parts that are here."""
        own = {part.name: part for part in self.parts}
        staves = [
            (staff, tuple(own[name] for name in staff.parts if name in own)) for staff in self.shared if not staff.apart
        ]  # fmt: skip
        return tuple(
            (staff, parts) for staff, parts in staves if parts and all(part.instrument.unpitched for part in parts)
        )


# ----------------------------------------------------------------
# How loud a voice is at each of its notes.
#
# In: the events of a voice in order. Out: for each the dynamic in force, as its player has been told.


def loudness(voice: Sequence[ScoreEvent]) -> Iterator[str]:
    """The dynamic in force at each event; empty where none was given, or where a hairpin led to none."""
    in_force = ""
    for event in voice:
        marks = event.event.marks
        in_force = marks.in_force_after("" if marks.hairpin_ends else in_force)
        yield in_force
        if marks.goal:  # it is reached at the end of the event
            in_force = "" if marks.goal == NOTHING else told(marks.goal).in_force_after(in_force)


# ----------------------------------------------------------------
# The score as text: bars, tempi, and every part's events at their onsets.


def score_text(score: Score) -> str:
    """One line for each bar's beginning, tempo and voice; onsets are in whole notes from the movement's beginning."""
    return "\n".join(line for movement in score.movements for line in _movement(score, movement)) + "\n"


def _movement(score: Score, movement: Movement) -> list[str]:
    lines = [f"{'cadenza' if movement.is_cadenza else 'movement'} {movement.name}, {movement.duration} whole notes"]
    lines.append("  bars " + " ".join(f"{b.number}@{b.onset}[{b.meter or 'free'}]" for b in movement.bars))
    lines += [f"  section {s.name or '-'} at {s.onset}" for s in movement.sections]
    lines += [f"  tempo {t.beat} = {t.per_minute} at {t.onset} {t.words}".rstrip() for t in movement.tempi]
    if movement.playing:
        lines.append("  played " + ", ".join(f"{begin} to {end}" for begin, end in movement.playing))
    lines += [f"  {c.part}: on {c.instrument.key} from {c.begin} to {c.end}" for c in movement.changes]
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in with_ossias(staves):
            name = f"{part.name}.{staff.name}" if staff.name else part.name
            for voice in staff.voices:
                lines.append(f"  {name}: " + " ".join(f"{e.onset}={event_text(e.event)}" for e in voice))
    return lines
