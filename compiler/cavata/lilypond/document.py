"""Written bars to LilyPond text, through Abjad.

In: a written score, or one sheet of it. Out: the text of one file that LilyPond 2.24 engraves: the same bytes from
every Abjad, every user's word inside a string literal. Nothing is decided here; `notate` has done it.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.lilypond.abjad_versions import text_of
from cavata.lilypond.literals import column, ly_string
from cavata.lilypond.page import AIR_AT_THE_END, AS_IT_IS, millimeters_text, preamble, unnumbered
from cavata.lilypond.part import front_page, page_reports, part_preamble, tacet_block
from cavata.lilypond.sheets import Sheet, whole_sheet
from cavata.lilypond.staves import SystemStyle, score_block
from cavata.lilypond.title_page import title_page_text
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import CopyKind, Group


def lilypond_text(score: WrittenScore) -> str:
    """The .ly text of a copy in one file."""
    return sheet_text(whole_sheet(score), reports=False)


def sheet_text(sheet: Sheet, reports: bool = True) -> str:
    """The .ly text of one sheet; a part's has LilyPond report its layout, unless a person is to read it."""
    if sheet.header.kind is CopyKind.PART:
        return _part_text(sheet, reports)
    page = sheet.page
    blocks = [preamble(sheet.header, page, sheet.has_title), "" if page.filled else AS_IT_IS]
    blocks += (page_reports(),) if sheet.tells_pages else ()
    blocks += () if sheet.whole else (unnumbered(sheet.has_title),)
    blocks += (title_page_text(sheet.title_page, sheet.header, page.staff_size),) if sheet.title_page else ()
    blocks += _legend(sheet) if sheet.has_title else ()
    for number, movement in enumerate(sheet.movements):
        blocks += ("\\pageBreak\n",) if number and movement.begins_page else ()
        opens = sheet.has_title and number == 0
        style = SystemStyle(opens and page.full_names, page.short_names, sheet.header.show_letters)
        room = "" if opens else millimeters_text(page.later_room)
        blocks.append(_movement_block(movement, sheet.groups, style, room))
    if page.filled:
        blocks.append(AIR_AT_THE_END)
    return "\n".join(blocks)


def _part_text(sheet: Sheet, reports: bool) -> str:
    """One player's part: a heading for every movement, also for those in which it is silent."""
    page = sheet.page
    blocks = [part_preamble(sheet.header, page, reports)]
    if sheet.first_page > 1:
        blocks.append(front_page(sheet.header))
    blocks += _legend(sheet)
    blocks.append("" if page.filled else AS_IT_IS)
    style = SystemStyle(page.full_names, page.short_names, sheet.header.show_letters)
    for movement in sheet.movements:
        blocks.append(tacet_block(movement) if movement.tacet else _movement_block(movement, sheet.groups, style, ""))
    return "\n".join(blocks)


def _legend(sheet: Sheet) -> Iterator[str]:
    """Under the title each name in the color of its notes; nothing where colors are not shown."""
    if not sheet.header.colors:
        return
    names = [
        f'\\line {{ \\with-color "{color}" \\raise #0.6 \\musicglyph "noteheads.s2" {ly_string(name)} }}'
        for name, color in sheet.header.colors
    ]
    lines = ["\\markup \\abs-fontsize #10.5 \\fill-line", "{"]
    lines += ["    \\center-column", "    {", "        \\line", "        {"]
    lines += [f"            {name} \\hspace #1" for name in names]
    lines += ["        }"]
    if sheet.colors_note:
        lines.append(f"        \\small \\italic {ly_string(sheet.colors_note)}")
    yield "\n".join([*lines, "        \\vspace #0.5", "    }", "}"]) + "\n"


def _movement_block(movement: WrittenMovement, groups: tuple[Group, ...], style: SystemStyle, room: str) -> str:
    """A movement under its title; `room` stands before its first system, where the page does not say it."""
    music = text_of(score_block(movement, groups, style))
    lines = ["\\score", "{"]
    lines += ["    " + line if line else line for line in music.splitlines()]
    if movement.title.strip():
        lines.append(f"    \\header {{ piece = \\markup {column(movement.title, 50, 3, 'center-column')} }}")
    settings = ([] if not room else [f"indent = {room}"]) + (["ragged-last = ##t"] if movement.short else [])
    lines += ["    \\layout", "    {", *(f"        {setting}" for setting in settings), "    }"]
    return "\n".join([*lines, "}"]) + "\n"
