"""How a copy is divided into sheets, each engraved by a run of LilyPond of its own.

In: a written score. Out: its sheets in order, as the score says where each begins: what was engraved of one stays good
when another changes. Nothing here needs Abjad.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.lilypond.page import blank_pages, preamble
from cavata.lilypond.title_page import title_page_text
from cavata.notate.written import PageSetting, WrittenMovement, WrittenScore
from cavata.record import record, replace
from cavata.score.score import Group, Header, TitlePage


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
    colors_note: str = ""
    first_page: int = 1
    """The number of its first page, where the copy itself says it."""


def whole_sheet(score: WrittenScore) -> Sheet:
    """All of a copy on one sheet."""
    movements = tuple(replace(movement, parts=movement.printed) for movement in score.movements)
    return Sheet(
        score.header, score.groups, score.page, movements, score.title_page, colors_note=score.colors_note,
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
