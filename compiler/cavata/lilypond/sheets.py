"""How a copy is divided into sheets, each engraved by a run of LilyPond of its own.

In: a written score. Out: its sheets in order, as the score says where each begins: what was engraved of one stays good
when another changes. Nothing here needs Abjad.
"""

from __future__ import annotations

import dataclasses
import marshal
from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from typing import Any

from cavata.lilypond.page import blank_pages, preamble
from cavata.lilypond.title_page import title_page_text
from cavata.music.event import Marks
from cavata.names.paper import Paper
from cavata.notate.written import (
    Frame,
    Leaf,
    PageSetting,
    Tuplet,
    WrittenHead,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
)
from cavata.record import record, replace
from cavata.score.score import Group, Header, Meter, Part, Tempo, TitlePage
from cavata.source import Span


@record
class Sheet:
    """What one run of LilyPond engraves."""

    header: Header
    groups: tuple[Group, ...]
    page: PageSetting
    movements: tuple[WrittenMovement, ...]
    """In order, with the parts that are printed."""
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


def whole_sheet(score: WrittenScore) -> Sheet:
    """All of a copy on one sheet."""
    movements = tuple(replace(movement, parts=movement.printed) for movement in score.movements)
    return Sheet(
        score.header, score.groups, score.page, movements, score.title_page, colours_note=score.colours_note,
        first_page=score.first_page,
    )  # fmt: skip


def sheets(score: WrittenScore) -> tuple[Sheet, ...]:
    """A copy divided, in order; if it is more than one sheet, a title page is not on any (`frame_text`)."""
    whole = whole_sheet(score)
    begins = [0, *(place for place, movement in enumerate(whole.movements) if movement.begins_page)]
    if len(begins) == 1:
        return (whole,)
    part = replace(whole, whole=False, title_page=None)
    return tuple(
        replace(part, movements=whole.movements[begin:end], has_title=begin == 0)
        for begin, end in zip(begins, (*begins[1:], None), strict=True)
    )


def frame_text(sheet: Sheet, title_page: TitlePage | None, pages: int) -> str:
    """The .ly text of what stands around the music of joined sheets: the title page, if there is one, then so many
    pages with nothing on them but what stands at their head and foot."""
    front = title_page_text(title_page, sheet.header, sheet.page.staff_size) if title_page else ""
    bare = replace(sheet.page, separated=False, first_room=Fraction(0), later_room=Fraction(0))
    return preamble(sheet.header, bare, True) + front + blank_pages(pages)


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
    WrittenPart: ("silent", "printed"),
    PageSetting: ("staves",),
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
