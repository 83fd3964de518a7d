"""Written bars: what stands on the page, finished, so that an emitter only translates.

Pitches here are *written* pitches (transposed for the player unless the score is at concert
pitch). A bar's items sum to its duration; a tuplet's items sum, as written, to `actual` of its unit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from itertools import count
from typing import TypeVar

from cavata.instruments.instrument import Instrument
from cavata.music.event import UNMARKED, Marks, Origin
from cavata.music.lengths import is_plain
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch
from cavata.record import record, replace
from cavata.score.score import Group, Header, Meter, Part, ScoreEvent, Tempo, TitlePage

# ----------------------------------------------------------------
# Note values: which lengths one undotted or dotted note can have.
#
# In: a length in ticks and the ticks of a whole note. Out: the note value and its dots, or None.


LONGEST = 2
"""The breve: longer notes are tied. Source: common practice."""
SHORTEST = Fraction(1, 1024)
"""The shortest value that every output has a name for: it is the last of `note-type-value` in MusicXML 4.0."""


def odd_part(number: int) -> int:
    """The number with every factor 2 taken out."""
    return number // (number & -number)


@lru_cache(maxsize=16384)
def note_value(ticks: int, whole: int) -> tuple[Fraction, int] | None:
    """The undotted value and up to two dots that make this length; None where no single note does."""
    length = Fraction(ticks, whole)
    if not is_plain(length):
        return None
    dots = {1: 0, 3: 1, 7: 2}.get(odd_part(length.numerator))
    if dots is None:
        return None
    base = length / (2 - Fraction(1, 2**dots))
    return (base, dots) if base <= LONGEST else None


def flags(base: Fraction) -> int:
    """How many flags or beams a note value has: none from the quarter up, one for an eighth."""
    return max(0, base.denominator.bit_length() - 3)


# ----------------------------------------------------------------

class Accidental(Enum):
    """Whether a head's accidental is printed."""

    NONE = "none"
    SHOWN = "shown"
    COURTESY = "courtesy"
    """Printed in brackets, as a reminder."""


class Beam(Enum):
    """A leaf's part in one level of a beam."""

    BEGIN = "begin"
    CONTINUE = "continue"
    END = "end"
    HOOK_FORWARD = "forward hook"
    HOOK_BACKWARD = "backward hook"


@record
class WrittenHead:
    """One note head."""

    pitch: Pitch
    """As written; on an unpitched part the middle line of the percussion clef (B4)."""
    origins: tuple[Origin, ...]
    accidental: Accidental = Accidental.NONE
    tie_begins: bool = False
    tie_ends: bool = False
    color: str = ""
    """Where colors are shown, that of the name it came from, as `#0072B2`; empty for black."""
    diamond: bool = False
    """It is touched for a harmonic, and not stopped."""


@record
class SungText:
    """What stands under a leaf that is sung."""

    text: str
    """A syllable; empty where the one before is held. `~` parts two that are sung to one note."""
    comes_on: bool = False
    """A hyphen leads here from the syllable before."""
    goes_on: bool = False
    """A hyphen leads on to the next syllable."""
    line: str = ""
    """What a line that holds the syllable over further notes does here: `begins`, `goes on`, `ends`, or nothing."""
    verse: int = 1
    """Which of the texts under one tune it belongs to; each stands in a line of its own."""
    number: str = ""
    """What stands before it, as `2.`, where several verses begin together."""


@record
class OnString:
    """What is said of the string on which a leaf is played."""

    number: int = 0
    """Counted from the highest; 0 at what goes on from a tie."""
    fret: int | None = None
    label: str = ""
    """What stands over the first of several notes on one string, as `sul G`; empty where each has its number."""
    begins: bool = False
    ends: bool = False


@record
class Leaf:
    """A written note, chord or rest."""

    base: Fraction
    """The note value without dots and tuplets: 2 for a breve, 1 for a whole note, 1/2, 1/4 ..."""
    dots: int
    heads: tuple[WrittenHead, ...] = ()
    """Lowest first; none for a rest."""
    marks: Marks = UNMARKED
    """Only what is printed at this leaf: the first leaf of a tied event has the dynamic, the last the slur's end."""
    beams: tuple[Beam, ...] = ()
    """The outermost level first; empty for an unbeamed leaf."""
    letters: str = ""
    """What stands under the note when letters are shown; empty on a tied continuation."""
    clef: str = ""
    """A change of clef before this leaf."""
    whole_bar: bool = False
    """A rest that fills its bar, whatever the meter: printed as a whole rest in the middle."""
    event: ScoreEvent | None = None
    """The event it spells; None for a rest that fills a gap."""
    beside: bool = False
    """It stands beside the wide head of the voice outside its own, through which its stem would go."""
    unseen: bool = False
    """A rest that is not printed, since the voice is an inner one."""
    graces: tuple[tuple[WrittenHead, ...], ...] = ()
    """The grace notes and chords before it, in order."""
    figured_for: Fraction = Fraction(0)
    """How long the note lasts, all that is tied to it included, under which figures of a bass stand."""
    strokes: int = 0
    """Strokes of a tremolo through its stem, its own flags not counted."""
    sung: tuple[SungText, ...] = ()
    """At most one text of each verse, in the order of the verses."""
    script_line: str = ""
    """On a proof copy the line of the script that puts notes there from here on, as `line 12`; empty where it is told
    already."""
    ottava: int | None = None
    """From here on the notes stand so many octaves lower on the staff than they are: 1 under `8va`, -1 over `8vb`, 0 as
    they are; None where nothing changes."""
    string: OnString | None = None
    tuning: str = ""
    """What is said there of the tuning of timpani, above the staff: what all are tuned to, or what a drum is tuned to
    from there on."""
    trill: str = ""
    """Of a trill over tied notes the wavy line that goes on from its sign: `begins`, `ends` with the leaf, or empty."""
    hairpin_alone: bool = False
    """A hairpin begins and ends on it; where it is not so, one that ends there began before, and another begins."""
    label_above: bool = False
    """Its label stands above the staff, since the notes of a lower voice are under it."""

    @property
    def written(self) -> Fraction:
        """Its length as written, before tuplets, in whole notes."""
        return self.base * (2 - Fraction(1, 2**self.dots)) if self.dots else self.base


@record
class Tuplet:
    """`actual` units in the time of `normal`."""

    actual: int
    normal: int
    unit: Fraction
    """The undotted note value that is counted."""
    items: tuple[WrittenItem, ...]

    @property
    def shows_ratio(self) -> bool:
        """Whether the number is a ratio, `11:8`, since one figure would not say enough. Source: common practice."""
        return (self.actual, self.normal) not in _OBVIOUS


WrittenItem = Leaf | Tuplet

_OBVIOUS = frozenset(((3, 2), (5, 4), (6, 4), (7, 4), (9, 8), (2, 3), (4, 3), (4, 6)))
"""What one figure tells: the usual groups of a simple beat, and two or four in the time of a compound one."""


@record
class PedalSign:
    """What is said of a harp's pedals at a moment of a bar, under its staves."""

    offset: Fraction
    """In whole notes from the bar's beginning, as written."""
    setting: tuple[int, ...] | None
    """For each letter from C to B -1, 0 or 1 for flat, natural or sharp, where all are told; else None."""
    moved: tuple[tuple[int, int, str], ...] = ()
    """Each pedal that is moved: its letter, what it is moved to, and that in words. The right foot's stands first."""


@record
class WrittenBar:
    """One bar of one staff."""

    voices: tuple[tuple[WrittenItem, ...], ...]
    """One or more voices, the upper first. A voice with no items is silent and prints nothing."""
    key: int | None = None
    """A new signature before this bar: its sharps, or flats if negative, as written for this staff."""
    dynamics_above: bool = False
    """The upper voice's dynamics stand above the staff: a singer's, or where both voices have some of their own."""
    rest_bars: int = 1
    """How many bars the rest stands for that begins here; 0 for a bar that the rest before it stands for too."""
    cue: tuple[WrittenItem, ...] = ()
    """What another part plays here, in small notes beside the reader's rest; it is not the reader's to play."""
    instrument: Instrument | None = None
    """What the player has in hand from this bar on, where it is another instrument than in the bar before."""
    cue_below: bool = False
    """The cue lies low: its stems go down and the reader's rest stands above it."""
    pedals: tuple[PedalSign, ...] = ()
    """Of a harp, on its upper staff, in order; they stand under the lower one."""
    cue_rest: int = 0
    """How far from the middle line that rest stands, in steps up."""
    ossia: tuple[tuple[WrittenItem, ...], ...] = ()
    """Another reading, voice by voice, on a small staff above this one; its first note tells the clef."""


@record
class FormWords:
    """Words at the end of a bar that tell how the playing goes on."""

    sign: str
    """As the script says it: `fine`, `to coda`, `da capo al fine`."""
    words: str
    """As it is printed; after `to coda` stands the sign of the coda."""


@record
class Frame:
    """What a bar has in common for all staves."""

    number: int
    duration: Fraction
    meter: Meter | None
    """The meter in force; None in free time."""
    shows_meter: bool
    """The time signature is printed before this bar."""
    tempi: tuple[tuple[Fraction, Tempo], ...]
    """Metronome marks, each with its offset in the bar in whole notes."""
    section: str
    """The title of a section that begins with this bar, to be printed as a rehearsal mark; else empty."""
    rehearsal: str
    """A, B, C ... where a section begins and the movement has several; else empty."""
    pickup: bool
    """It is no bar of its own: a pickup, or what comes after a sign that divides a bar."""
    barline: str
    """At its end: `single`, `double`, `final`, `none`, or with repeat signs `repeat ends`, `repeat begins` or both:
    `repeat ends and begins`."""
    key: Mode | None = None
    """The key at concert pitch."""
    section_name: str = ""
    bar_in_section: int = 0
    repeat_begins: bool = False
    """Here the playing begins again when it goes back."""
    repeat_ends: int = 0
    """How often a repeat is played in all that goes back at the end of this bar; 0 if it goes on."""
    times: str = ""
    """That number in words, where the page says it: more than twice, and no endings that tell it."""
    ending: tuple[int, ...] = ()
    """The times through of an ending that begins with this bar."""
    ending_stops: tuple[int, ...] = ()
    """Those of an ending that stops with this bar."""
    in_ending: bool = False
    may_turn: bool = False
    """In a part: its player has time to turn the page at the end of this bar."""
    ends_page: bool = False
    """In a part: the page ends with this bar, so that it can be turned."""
    opens: tuple[str, ...] = ()
    """`segno` or `coda`: what stands at its beginning."""
    closes: tuple[FormWords, ...] = ()
    """What stands at its end, to be printed one after another."""
    shows_number: bool = False
    """Its number is printed wherever it stands on its line, beside its letter."""
    dashes: tuple[tuple[Fraction, bool], ...] = ()
    """Where a dashed line after the words of a change of tempo begins, True, or ends: its offset, ends first."""
    paces: tuple[tuple[Fraction, Fraction], ...] = ()
    """Where the speed changes for who plays the page, printed or not: offset, and the seconds of a whole note."""

    @property
    def ending_text(self) -> str:
        """What stands in the bracket of an ending: `1.`, or `1., 2.`."""
        return ", ".join(f"{number}." for number in self.ending)


@record
class WrittenStaff:
    """One staff through a movement."""

    clef: str
    """At the beginning: `treble`, `bass`, `alto`, `tenor`, `treble_8`, `percussion` ..."""
    bars: tuple[WrittenBar, ...]
    hides: bool = False
    """It is left out of systems in which it is silent, after the movement's first."""
    together: bool = False
    """Not if another of its family under its bracket plays there: the strings stand all or none."""
    is_ossia: bool = False
    """It is a small staff above the next one, there only in the bars in which it has notes."""

    @property
    def has_ossia(self) -> bool:
        """Whether a small staff stands above some of its bars."""
        return any(bar.ossia for bar in self.bars)

    @property
    def as_ossia(self) -> WrittenStaff:
        """The small staff above, as a staff of its own whose voices have no items where it is not there."""
        bars = tuple(
            WrittenBar(bar.ossia or ((),), bar.key, rest_bars=bar.rest_bars, instrument=bar.instrument)
            for bar in self.bars
        )
        return WrittenStaff(self.clef, bars, is_ossia=True)

    def clef_before(self, place: int) -> str:
        """The clef in force where a bar begins, without a change at its first note."""
        clef = self.clef
        for bar in self.bars[:place]:
            for voice in bar.voices:
                for leaf in leaves(voice):
                    clef = leaf.clef or clef
        return clef


@record
class WrittenPart:
    """One part through a movement."""

    part: Part
    staves: tuple[WrittenStaff, ...]
    silent: bool
    """It has no note in this movement."""
    printed: bool = True
    """It stands in the copy's systems of this movement. A movement that is handed out by itself has every part."""
    rolls_across: bool = False
    """Somewhere both its staves have a rolled chord at one moment, which is one roll."""
    pedal_as_line: bool = False
    """Its sustain pedals stand as a line, since signs for them would run into each other."""


@record
class WrittenMovement:
    """One movement on the page."""

    name: str
    title: str
    is_cadenza: bool
    attacca: bool
    frames: tuple[Frame, ...]
    parts: tuple[WrittenPart, ...]
    tacet: bool = False
    """On a part that is silent throughout: its page has the movement's heading and says so."""
    heading: str = ""
    """There: the movement's title, or else its number."""
    begins_page: bool = False
    """It begins a new page, and what stands from here on is a sheet of its own."""
    short: bool = False
    """It is less than a line of music, which is not stretched to the right margin."""
    line_breaks: tuple[tuple[Fraction, ...], ...] = ()
    """For each frame the offsets inside it at which a line may break; none in measured time."""
    cuts: tuple[int, ...] = ()
    """The frames with which a new page and a new sheet begin, since the whole is too long to be engraved at once."""
    overlap: tuple[int, int] = (0, 0)
    """In a stretch of a long movement: how many frames before and after it are only there for what leads over the cut,
    each on a page of their own that is thrown away."""

    marks_above: str = ""
    """The part above which letters and tempi stand once more, on the page of a large score; empty for none."""

    @property
    def printed(self) -> tuple[WrittenPart, ...]:
        """The parts that stand in its systems."""
        return tuple(part for part in self.parts if part.printed)


@record
class PageSetting:
    """How the pages of a copy are set, the same on all its sheets; the paper is the header's."""

    staff_size: Fraction
    """The height of a staff in points."""
    staves: int
    """In the largest system; where letters stand under the notes four staves take the room of five, and letters and
    tempi inside the system that of one."""
    first_room: Fraction
    """Millimeters for names and brackets before the first system of the copy."""
    later_room: Fraction
    """The same before later systems."""
    full_names: bool
    """The first system of the copy has the names of the parts in full."""
    short_names: bool
    """Later systems have them in short."""
    separated: bool
    """A sign stands between the systems of a page."""
    filled: bool = True
    """The last page is filled like the others; else its systems stay together at the top."""


@record
class WrittenScore:
    """The whole piece on the page; `laid_out` in `notate/layout.py` makes it of its movements."""

    header: Header
    groups: tuple[Group, ...]
    movements: tuple[WrittenMovement, ...]
    page: PageSetting
    colors_note: str = ""
    """What the legend of colors says besides, where some colored head came from two names or more."""
    title_page: TitlePage | None = None
    """None where the music begins on the first page."""
    first_page: int = 1
    """On a part: 2 where it begins on the left, for want of a place to turn after one page."""
    tells_pages: bool = False
    """Who engraves a score is to say on which page each system stands, as is always said of a part."""


def leaves(items: tuple[WrittenItem, ...]) -> Iterator[Leaf]:
    """Every leaf, in order, tuplets opened."""
    for item in items:
        if isinstance(item, Leaf):
            yield item
        else:
            yield from leaves(item.items)


_Added = TypeVar("_Added")


def with_leaves(
    staff: WrittenStaff, added: Mapping[int, _Added], put: Callable[[Leaf, _Added], Leaf]
) -> WrittenStaff:
    """The staff with something put at leaves of its upper voice, counted from its first."""
    numbers = count()

    def changed(item: WrittenItem) -> WrittenItem:
        if isinstance(item, Tuplet):
            return replace(item, items=tuple(map(changed, item.items)))
        what = added.get(next(numbers))
        return item if what is None else put(item, what)

    return replace(staff, bars=tuple(
        replace(bar, voices=(tuple(map(changed, bar.voices[0])), *bar.voices[1:])) for bar in staff.bars
    ))  # fmt: skip


def length_of(item: WrittenItem) -> Fraction:
    """How long an item lasts, in whole notes, tuplets reckoned in; not for a whole-bar rest, which is as its bar."""
    if isinstance(item, Leaf):
        return item.written
    return sum((length_of(inner) for inner in item.items), Fraction(0)) * Fraction(item.normal, item.actual)


def timed_leaves(
    items: Iterable[WrittenItem], onset: Fraction, scale: Fraction = Fraction(1)
) -> Iterator[tuple[Fraction, Leaf]]:
    """Every leaf of items that follow one another from an onset, with its own; `scale` is of the tuplets around."""
    for item in items:
        if isinstance(item, Leaf):
            yield onset, item
        else:
            yield from timed_leaves(item.items, onset, scale * Fraction(item.normal, item.actual))
        onset += length_of(item) * scale
