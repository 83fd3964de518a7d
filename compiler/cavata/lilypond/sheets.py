"""How a copy is divided into sheets, each engraved by a run of LilyPond of its own.

In: a written score. Out: its sheets in order, as the score says where each begins: what was engraved of one stays good
when another changes. Nothing here needs Abjad.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.lilypond.page import blank_pages, preamble
from cavata.lilypond.title_page import title_page_text
from cavata.notate.paper.stretches import crossing, movement_stretch
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
    tells_pages: bool = False
    """LilyPond is to report on which page each system of a score stands."""
    first_page: int = 1
    """The number of its first page, where the copy itself says it."""

    @property
    def thrown_away(self) -> tuple[int, int]:
        """How many of its first and last pages are only there for what leads over the ends of a stretch."""
        return int(self.movements[0].overlap[0] > 0), int(self.movements[-1].overlap[1] > 0)


def whole_sheet(score: WrittenScore) -> Sheet:
    """All of a copy on one sheet."""
    movements = tuple(replace(movement, parts=movement.printed) for movement in score.movements)
    return Sheet(
        score.header, score.groups, score.page, movements, score.title_page, colors_note=score.colors_note,
        tells_pages=score.tells_pages, first_page=score.first_page,
    )  # fmt: skip


def sheets(score: WrittenScore) -> tuple[Sheet, ...]:
    """A copy divided, in order; if it is more than one sheet, a title page is not on any (`frame_text`)."""
    whole = whole_sheet(score)
    groups: list[list[WrittenMovement]] = [[]]
    for movement in whole.movements:
        pieces = _pieces(movement)
        if movement.begins_page and groups[-1]:
            groups.append([])
        groups[-1].append(pieces[0])
        groups += [[piece] for piece in pieces[1:]]
    if len(groups) == 1:
        return (whole,)
    part = replace(whole, whole=False, title_page=None)
    return tuple(
        replace(part, movements=tuple(movements), has_title=number == 0) for number, movements in enumerate(groups)
    )


def _pieces(movement: WrittenMovement) -> tuple[WrittenMovement, ...]:
    """A movement, or its stretches where it is cut."""
    if not movement.cuts:
        return (movement,)
    under_way = crossing(movement)
    ends = (*movement.cuts, len(movement.frames))
    return tuple(
        movement_stretch(movement, first, end, under_way) for first, end in zip((0, *movement.cuts), ends, strict=True)
    )


def frame_text(sheet: Sheet, title_page: TitlePage | None, pages: int) -> str:
    """The .ly text of what stands around the music of joined sheets: the title page, if there is one, then so many
    pages with nothing on them but what stands at their head and foot."""
    front = title_page_text(title_page, sheet.header, sheet.page.staff_size) if title_page else ""
    bare = replace(sheet.page, separated=False, first_room=Fraction(0), later_room=Fraction(0))
    return preamble(sheet.header, bare, True) + front + blank_pages(pages)
