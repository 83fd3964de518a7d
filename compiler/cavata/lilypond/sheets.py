"""How a copy is divided into sheets, each engraved by a run of LilyPond of its own.

In: a written score. Out: its sheets in order. The division looks at the written music alone, and by a coarse measure,
so that a change in one movement hardly ever moves another from sheet to sheet: what was engraved of the others stays
good. A movement of about a page or more begins a new sheet, and so a new page; a shorter one goes on where the one
before it ended, so that twenty tiny pieces do not take twenty pages. Nothing here needs Abjad.
"""

from __future__ import annotations

import dataclasses
import marshal
from collections.abc import Callable, Iterator, Sequence
from enum import Enum
from fractions import Fraction
from typing import Any

from cavata.edition.title_page import TitlePage
from cavata.lilypond.literals import lines_of
from cavata.lilypond.page import blank_pages, preamble, staff_size
from cavata.lilypond.title_page import title_page_text
from cavata.music.event import Marks
from cavata.names.paper import Paper
from cavata.notate.written import Frame, Leaf, Tuplet, WrittenHead, WrittenMovement, WrittenScore, WrittenStaff
from cavata.record import record, replace
from cavata.score.score import CopyKind, Group, Header, Meter, Part, Tempo
from cavata.source import Span
from cavata.text import columns

NAME_WIDTH = 16
"""Characters in a line of an instrument's name before it is broken."""
NAME_LINES = 3
_IN_A_LINE = 28
"""About how many notes of the busiest staff stand in a line of A4 at a staff of 20 points."""
_STAVES_ON_A_PAGE = 12
"""About how many staves stand on such a page."""


@record
class Setting:
    """What all sheets of a copy have in common, so that they look like one."""

    staves: int
    """In the largest system."""
    full_name: int
    """The longest line of a name before the first system, in characters."""
    short_name: int
    """The longest before later systems; 0 if there are none."""
    alone: bool
    """The piece is for one part, which needs no name before later systems."""


@record
class Sheet:
    """What one run of LilyPond engraves."""

    header: Header
    groups: tuple[Group, ...]
    setting: Setting
    runs: tuple[tuple[WrittenMovement, ...], ...]
    """The movements with the parts that are printed; each run of movements begins a new page."""
    title_page: TitlePage | None = None
    """A page of its own before the music."""
    whole: bool = True
    """It is all of the copy, so its pages are numbered as they are engraved; else the number's place is left free
    until it is known how many pages come before."""
    has_title: bool = True
    """The music of the copy begins here: it has the title above it, and every part with its full name."""
    colours_note: str = ""
    first_page: int = 1
    """The number of its first page, where the copy itself says it."""

    @property
    def movements(self) -> tuple[WrittenMovement, ...]:
        """All movements on it, in order."""
        return tuple(movement for run in self.runs for movement in run)

    @property
    def staff_size(self) -> Fraction:
        """The height of its staves in points."""
        return _staff_size(self.setting, self.header)


def _staff_size(setting: Setting, header: Header) -> Fraction:
    """The height of the staves of a copy; a short score is for study, so that two systems stand on its page."""
    systems = 2 if header.kind is CopyKind.SHORT else 1
    return staff_size(setting.staves * systems, header.paper)


def whole_sheet(score: WrittenScore) -> Sheet:
    """All of a copy on one sheet."""
    header = score.header
    movements = tuple(_printed_parts(movement, number == 0) for number, movement in enumerate(score.movements))
    setting = _setting(movements, header, all(len(movement.parts) == 1 for movement in score.movements))
    runs = tuple(_runs(movements, header, setting))
    return Sheet(
        header, score.groups, setting, runs, score.title_page, colours_note=score.colours_note,
        first_page=score.first_page,
    )  # fmt: skip


def sheets(score: WrittenScore) -> tuple[Sheet, ...]:
    """A copy divided, in order; if it is more than one sheet, a title page is not on any (`frame_text`).

    A player's part is one sheet: where its pages are turned depends on the pages before.
    """
    whole = whole_sheet(score)
    if len(whole.runs) < 2:
        return (whole,)
    part = replace(whole, whole=False, title_page=None)
    return tuple(replace(part, runs=(run,), has_title=number == 0) for number, run in enumerate(whole.runs))


def frame_text(sheet: Sheet, title_page: TitlePage | None, pages: int) -> str:
    """The .ly text of what stands around the music of joined sheets: the title page, if there is one, then so many
    pages with nothing on them but what stands at their head and foot."""
    front = title_page_text(title_page, sheet.header, sheet.staff_size) if title_page else ""
    return preamble(sheet.header, sheet.staff_size, 1, 0, 0) + front + blank_pages(pages)


def _printed_parts(movement: WrittenMovement, first_of_copy: bool) -> WrittenMovement:
    """All parts in the copy's first movement; later ones leave out those that never play, unless none does."""
    sounding = tuple(part for part in movement.parts if not part.silent)
    if first_of_copy or not sounding or len(sounding) == len(movement.parts):
        return movement
    return replace(movement, parts=sounding)


def _setting(movements: tuple[WrittenMovement, ...], header: Header, alone: bool) -> Setting:
    staves = max((_staff_count(movement) for movement in movements), default=1)
    if header.show_letters:
        staves += staves // 4
    labels = [
        _breadth(part.part, part.part.label, [member.label for member in part.part.members])
        for part in (movements[0].parts if movements else ())
    ]
    abbreviations = [
        _breadth(part.part, part.part.abbreviation, [member.abbreviation for member in part.part.members])
        for movement in movements for part in movement.parts
    ]  # fmt: skip
    full, short = max(labels, default=0), 0 if alone else max(abbreviations, default=0)
    return Setting(staves, full, short, alone)


def _staff_count(movement: WrittenMovement) -> int:
    return sum(len(part.staves) for part in movement.parts)


def _breadth(part: Part, name: str, members: Sequence[str]) -> int:
    """How many letters stand before a staff; of a set of percussion its instruments' names beside its own."""
    if not part.instrument.unpitched or not members:
        return _longest(name)
    beside = max(_longest(member) for member in members)
    return beside if name == ", ".join(members) else _longest(name) + 1 + beside


def _longest(name: str) -> int:
    return max(columns(line) for line in lines_of(name, NAME_WIDTH, NAME_LINES))


def _runs(
    movements: tuple[WrittenMovement, ...], header: Header, setting: Setting
) -> Iterator[tuple[WrittenMovement, ...]]:
    """Each run holds one movement of a page or more, and the short ones after it; the first also those before it."""
    run: list[WrittenMovement] = []
    has_long = False
    for movement in movements:
        long = header.kind is not CopyKind.PART and _pages(movement, header, setting) >= 1
        if long and has_long:
            yield tuple(run)
            run = []
        has_long = has_long or long
        run.append(movement)
    if run:
        yield tuple(run)


def _pages(movement: WrittenMovement, header: Header, setting: Setting) -> Fraction:
    """About how many pages a movement fills."""
    staves = [staff for part in movement.parts if not part.silent for staff in part.staves]
    notes = sum(max((_busy(staff, place) for staff in staves), default=1) for place in range(len(movement.frames)))
    small = 20 / _staff_size(setting, header)
    return Fraction(notes * len(staves)) / (_IN_A_LINE * small * _STAVES_ON_A_PAGE * small)


def _busy(staff: WrittenStaff, place: int) -> int:
    """About how many columns a bar needs: its items, and two at least for the bar line's sake."""
    return max((len(voice) for voice in staff.bars[place].voices), default=0) + 2


# ----------------------------------------------------------------
# What the LilyPond emitter reads of a sheet, as bytes: equal for two sheets exactly if their texts are.
#
# In: a sheet. Out: bytes to make a key of, the same in every process. Whatever a sheet holds counts, unless it is named
# below as never read; so what a later version adds counts by itself, and at the worst a page is engraved once too
# often.
# A property test changes sheets one thing at a time and holds their texts against this. Nothing here needs Abjad.


UNREAD: dict[type, tuple[str, ...]] = {
    Leaf: ("event",),
    WrittenHead: ("origins", "tie_ends"),
    Marks: ("graces", "held", "sung"),
    Tuplet: ("unit",),
    Frame: (
        "key", "section_name", "bar_in_section", "repeat_begins", "repeat_ends", "in_ending", "pickup", "may_turn",
        "paces",
    ),
    Meter: ("groups", "as_given"),
    Tempo: ("onset", "goal", "keyword"),
    Part: ("language", "number", "own_label", "section", "span"),
    Group: ("name",),
    Header: ("concert_score", "every_staff", "language", "longest", "shortest", "title_page"),
    Paper: ("name",),
    WrittenMovement: ("name", "is_cadenza"),
}
"""The fields that no text depends on: where things come from, and what is there for the ear or for other outputs."""
_WITHOUT_REFERENCES = 2
"""The version of the marshalled form in which equal values always give equal bytes."""
_PLAIN = frozenset((str, int, float, bool, bytes, type(None)))


def content(sheet: Sheet) -> bytes:
    """What a sheet's text is made of."""
    return marshal.dumps(_Reading().of(sheet), _WITHOUT_REFERENCES)


class _Reading:
    """Values as nested tuples; one that stands in many places, such as a pitch, is taken apart once."""

    def __init__(self) -> None:
        self._known: dict[int, Any] = {}
        self._fields: dict[type, Callable[[Any], list[Any]]] = {}

    def of(self, value: Any) -> Any:
        kind = value.__class__
        if kind in _PLAIN:
            return value
        if kind is tuple:
            return tuple([self.of(one) for one in value]) if value else ()
        made = self._known.get(id(value))
        if made is None:
            made = self._known[id(value)] = self._taken_apart(value, kind)
        return made

    def _taken_apart(self, value: Any, kind: type) -> Any:
        if kind is Fraction:
            return value.numerator, value.denominator
        if isinstance(value, Enum):
            return value.name
        if isinstance(value, Tempo) and not value.printed:
            return "unprinted"
        if isinstance(value, Span):
            return value.source.name, value.line, value.column
        names = self._fields.get(kind)
        if names is None:
            unread = UNREAD.get(kind, ())
            kept = [field.name for field in dataclasses.fields(value) if field.name not in unread]
            names = self._fields[kind] = _getter(kept)
        return kind.__name__, *[self.of(one) for one in names(value)]


def _getter(names: list[str]) -> Callable[[Any], list[Any]]:
    return lambda value: [getattr(value, name) for name in names]
