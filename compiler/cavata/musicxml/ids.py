"""Ids that lead from a note in a file back to the script, and stay while other things change.

In: a written movement, and its document, in which each note has its place. Out: the document with ids made of what the
script calls things:

    first-harp.left-hailing-far.2-3     the third note of the second `far` of the harp's left hand in section hailing
    first-harp.left-hailing-bar4-r1     the first rest of the fourth bar of that section there
    first-harp-hailing-bar4             that bar of the harp

Holds after: no id stands twice in a piece. Nothing is counted over more than one section of one voice, so that lines
above, other parts and other sections may change and a note keeps its id. An id is a valid `xs:ID`, whatever letters a
script is written in. Source: MusicXML 4.0, attribute `id`; W3C, Namespaces in XML 1.0, `NCName`.
"""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise

from cavata.musicxml.staves import with_staves
from cavata.notate.written import (
    Frame,
    Leaf,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    leaves,
    timed_leaves,
)
from cavata.score.score import ScoreEvent
from cavata.source import Span
from cavata.text import printable, text_table

_NAME = re.compile(r"[^\W\d][\w\u0300-\u036f]*")
_NOT_PLAIN = re.compile(
    r"_(?=u[0-9A-F]{4,6}_)|"
    r"[^.0-9A-Z_a-z\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u0131\u0134-\u013e\u0141-\u0148\u014a-\u017e"
    r"\u0386\u0388-\u038a\u038c\u038e-\u03a1\u03a3-\u03ce\u0401-\u040c\u040e-\u044f\u0451-\u045c\u05d0-\u05ea"
    r"\u3041-\u3094\u30a1-\u30fa\u4e00-\u9fa5\uac00-\ud7a3]"
)
"""What stands in no name of XML 1.0 in any of its editions, of which readers know different ones; and what would look
like the number of such a letter."""
_NOTHING_CALLED = "notes"
_BEFORE = re.compile(r"([^\W\d]\w*)\s*\([^(),|:]*\Z")
_LONGEST_BEFORE = 80
_PLACE = re.compile(r'(<(?:note|measure)\b[^>]* id=")(p\d+(?:s\d+b\d+v\d+n\d+|b\d+))')
_ID = re.compile(rb'(<(?:note|measure)\b[^>]*?) id="[^"]*"')


def note_id(part: int, staff: int, bar_index: int, voice: int, leaf: int) -> str:
    """The place of a note or rest while a document is made, all counted from 1: `p2s1b14v1n3`.

    Bars count the pickup, leaves count rests and those of tuplets. Further heads of a chord have `h2`,
    `h3` ... after it, counted from the lowest; grace notes `g1`, further rests that stand for one `r2`.
    """
    return f"p{part}s{staff}b{bar_index}v{voice}n{leaf}"


def bar_of(place: str) -> int:
    """The bar of a place that `note_id` made, counted from 1."""
    return int(place[place.index("b") + 1 : place.index("v")])


Identified = tuple[str, str, Leaf | None]
"""The place (`note_id`) and the id of a leaf; no leaf where nothing is written in a bar."""


def identified(movement: WrittenMovement) -> Iterator[Identified]:
    """Every leaf, staff by staff."""
    bars = tuple(bar_names(movement.frames))
    for number, part in enumerate(movement.parts, 1):
        yield from identified_part(movement.name, bars, number, part)


def identified_part(
    movement: str, bars: Sequence[tuple[str, str]], number: int, part: WrittenPart
) -> Iterator[Identified]:
    """Every leaf of a part, by its number among all; `bars` are the movement's `bar_names`."""
    for index, called in enumerate(_staves(part)):
        staff = _Staff(f"{plain(movement)}-{called}")
        for place, (section, bar) in enumerate(bars):
            written = part.staves[index].bars[place]
            staff.begin_bar(section, bar)
            voices = [(n, items) for n, items in enumerate((*written.voices, written.cue), 1) if items]
            for voice, items in voices:
                own = ".cue" if voice > len(written.voices) else f".{voice}" if voice > 1 else ""
                for count, leaf in enumerate(leaves(items), 1):
                    yield note_id(number, index + 1, place + 1, voice, count), staff.leaf(leaf, own), leaf
            if not voices:
                yield note_id(number, index + 1, place + 1, 1, 1), staff.rest(), None


def identified_notes(movement: WrittenMovement) -> Iterator[tuple[str, str, ScoreEvent]]:
    """The place, the id and the event of every note and chord that the script put there, its small staves included;
    what is tied has an id for each note that is written."""
    for place, identifier, leaf in identified(with_staves(movement)):
        if leaf is not None and leaf.event is not None and leaf.heads:
            yield place, identifier, leaf.event


def identified_times(written: WrittenMovement) -> Iterator[tuple[str, Fraction, Fraction]]:
    """The id of every note and chord, with from when to when it is written, in whole notes of the score."""
    movement = with_staves(written)
    names = {place: name for place, name, leaf in identified(movement) if leaf is not None and leaf.heads}
    bars = [*accumulate((frame.duration for frame in movement.frames), initial=Fraction(0))]
    for part, staff, bar, voice, items in _sounding(movement):
        begin, end = bars[bar - 1], bars[bar]
        onsets = [*(onset for onset, _ in timed_leaves(items, begin)), end]
        for count, (onset, until) in enumerate(pairwise(onsets), 1):
            name = names.get(note_id(part, staff, bar, voice, count))
            if name is not None:
                yield name, onset, until


def _sounding(movement: WrittenMovement) -> Iterator[tuple[int, int, int, int, tuple[WrittenItem, ...]]]:
    """Every voice that sounds, with its place as ids count it: part, staff, bar, voice."""
    for number, part in enumerate(movement.parts, 1):
        for staff_number, staff in enumerate(part.staves, 1):
            for bar_number, bar in enumerate(staff.bars if not staff.is_ossia else (), 1):
                for voice_number, items in enumerate(bar.voices, 1):
                    yield number, staff_number, bar_number, voice_number, items


def measure_place(part: int, bar_index: int) -> str:
    """The place of a measure, counted as in `note_id`: `p2b14`."""
    return f"p{part}b{bar_index}"


def with_ids(document: bytes, movement: WrittenMovement) -> bytes:
    """A document whose notes and measures have places, with their ids."""
    found = {place: identifier for place, identifier, _ in identified(movement)}
    for number, part in enumerate(movement.parts, 1):
        for place, (section, bar) in enumerate(bar_names(movement.frames), 1):
            called = (plain(movement.name), plain(part.part.name), section, bar)
            found[measure_place(number, place)] = "-".join(filter(None, called))
    return _PLACE.sub(lambda at: at[1] + found[at[2]], document.decode("utf-8")).encode()


def ids_text(score: WrittenScore) -> str:
    """For every note its id and the place in the script to which it leads, one to a line: file, line, column, item."""
    rows = []
    for movement in score.movements:
        for _, identifier, event in identified_notes(movement):
            line = event.line
            place = f"{line.source.name}:{line.line}:{line.column}"
            rows.append((identifier, place, printable(" ".join(line.text.split()))))
    return text_table(("id", "place", "item"), rows)


def without_ids(document: bytes) -> bytes:
    """A document as it is for who sees or hears it: without the ids of its notes and measures, which tell only how a
    script calls things."""
    return _ID.sub(rb"\1", document)


@lru_cache(maxsize=4096)
def plain(name: str) -> str:
    """A name of the script with letters that every reader of XML takes for letters: others as their numbers, `_u13A0_`.

    Different names stay different.
    """
    return _NOT_PLAIN.sub(lambda found: f"_u{ord(found[0]):04X}_", unicodedata.normalize("NFC", name))


def bar_names(frames: tuple[Frame, ...]) -> Iterator[tuple[str, str]]:
    """For each frame its section, empty where there is none, and its bar there; the second of one number has `.2`."""
    counts: dict[tuple[str, int], int] = defaultdict(int)
    for frame in frames:
        counts[frame.section_name, frame.bar_in_section] += 1
        count = counts[frame.section_name, frame.bar_in_section]
        yield plain(frame.section_name), _numbered(f"bar{frame.bar_in_section}", count)


def _numbered(name: str, count: int) -> str:
    return name if count == 1 else f"{name}.{count}"


def _staves(part: WrittenPart) -> Iterator[str]:
    """What the script calls each staff of a part: `flute`, `harp.left`."""
    own = [staff for staff in part.staves if not staff.is_ossia]
    names = part.part.instrument.standing(len(own)) if len(own) > 1 else ("",)
    called = [f"{plain(part.part.name)}.{plain(name)}" if name else plain(part.part.name) for name in names]
    place = 0
    for staff in part.staves:
        yield f"{called[place]}.ossia" if staff.is_ossia else called[place]
        place += not staff.is_ossia


def _called(line: Span) -> str:
    """What an item of a score line begins with: a name, or the word before what it writes out, as `notes`."""
    before = _BEFORE.search(line.source.text[max(0, line.start - _LONGEST_BEFORE) : line.start])
    name = before[1] if before is not None else _NAME.search(line.text)
    return name if isinstance(name, str) else name[0] if name is not None else _NOTHING_CALLED


_Turn = tuple[str, int, int, object, str]
"""A turn of an item in one voice: where it stands in the script, when it begins, and the voice."""


class _Staff:
    """Names what stands on one staff, bar by bar."""

    def __init__(self, called: str) -> None:
        self._called = called
        self._section = self._bar = ""
        self._in_this_bar: dict[str, int] = {}
        self._turns: dict[_Turn, str] = {}
        """What each turn of an item is called."""
        self._counts: dict[str, int] = defaultdict(int)
        """How many turns of a thing there were so far, and how many notes in each turn."""
        self._events: dict[int, str] = {}
        self._pieces: dict[str, int] = {}
        """How many tied notes each event is written with so far."""
        self._last: dict[str, str] = {}

    def begin_bar(self, section: str, bar: str) -> None:
        """Go on to the next bar."""
        self._section, self._bar = section, bar
        self._in_this_bar = defaultdict(int)

    def leaf(self, leaf: Leaf, voice: str) -> str:
        """The id of the next leaf in a voice of the bar."""
        event = leaf.event
        if event is None or not leaf.heads:
            return self._in_bar("n" if leaf.heads else "r", voice)
        known = self._events.get(id(event)) or (self._last.get(voice, "") if event.tied_before else "")
        if not known:
            known = self._struck(event, voice if voice == ".cue" else f".{event.voice + 1}" if event.voice else "")
            self._pieces[known] = 0
        self._events[id(event)] = self._last[voice] = known
        self._pieces[known] += 1
        return known if self._pieces[known] == 1 else f"{known}t{self._pieces[known]}"

    def rest(self) -> str:
        """The id of the rest in a bar in which nothing is written."""
        return self._in_bar("r", "")

    def _in_bar(self, kind: str, voice: str) -> str:
        """A rest, or a note that no item of the script put there, is known by its place in the bar."""
        self._in_this_bar[kind + voice] += 1
        number = self._in_this_bar[kind + voice]
        return "-".join(filter(None, (self._called + voice, self._section, self._bar, f"{kind}{number}")))

    def _struck(self, event: ScoreEvent, voice: str) -> str:
        line = event.line
        turn = (line.source.name, line.start, line.end, event.turn, voice)
        called = self._turns.get(turn)
        if called is None:
            thing = plain(_called(line))
            where = "-".join(filter(None, (self._called + voice, self._section)))
            self._counts[f"{where}-{thing}"] += 1
            called = self._turns[turn] = f"{where}-{_numbered(thing, self._counts[f'{where}-{thing}'])}"
        self._counts[f"{called}-"] += 1
        return f"{called}-{self._counts[f'{called}-']}"
