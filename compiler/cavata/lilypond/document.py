"""Written bars to LilyPond text, through Abjad.

In: a written score, or one sheet of it. Out: the text of one file that LilyPond 2.24 engraves: the same bytes from
every Abjad, every user's word inside a string literal. Nothing is decided here; `notate` has done it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.lilypond.abjad_versions import text_of
from cavata.lilypond.literals import column, ly_string
from cavata.lilypond.page import AS_IT_IS, last_page, name_room, preamble, unnumbered
from cavata.lilypond.part import STAFF_SIZE, part_preamble, printed_bars, tacet_block
from cavata.lilypond.sheets import Sheet, whole_sheet
from cavata.lilypond.staves import SystemStyle, score_block
from cavata.lilypond.title_page import title_page_text
from cavata.notate.written import WrittenMovement, WrittenPart, WrittenScore, leaves
from cavata.score.score import CopyKind

# ----------------------------------------------------------------
# The legend under the title: each name in the colour of its notes.
#
# In: a sheet of the sheet. Out: a markup to stand before the music; none where colours are not shown.


def legend(sheet: Sheet) -> Iterator[str]:
    """The legend's lines."""
    if not sheet.header.colours:
        return
    names = [
        f'\\line {{ \\with-color "{colour}" \\raise #0.6 \\musicglyph "noteheads.s2" {ly_string(name)} }}'
        for name, colour in sheet.header.colours
    ]
    lines = ["\\markup \\abs-fontsize #10.5 \\fill-line", "{"]
    lines += ["    \\center-column", "    {", "        \\line", "        {"]
    lines += [f"            {name} \\hspace #1" for name in names]
    lines += ["        }"]
    if sheet.colours_note:
        lines.append(f"        \\small \\italic {ly_string(sheet.colours_note)}")
    yield "\n".join([*lines, "        \\vspace #0.5", "    }", "}"]) + "\n"


# ----------------------------------------------------------------

_FULL_LINE = 10
"""A movement with fewer leaves than this in its busiest staff is not stretched to the right margin."""


def lilypond_text(score: WrittenScore) -> str:
    """The .ly text of a copy in one file."""
    return sheet_text(whole_sheet(score), reports=False)


def sheet_text(sheet: Sheet, reports: bool = True) -> str:
    """The .ly text of one sheet; a part's has LilyPond report its layout, unless a person is to read it."""
    if sheet.header.kind is CopyKind.PART:
        return _part_text(sheet, reports)
    setting, size = sheet.setting, sheet.staff_size
    names = setting.full_name if sheet.has_title else 0
    blocks = [preamble(sheet.header, size, setting.staves, names, setting.short_name)]
    blocks.append(last_page(sheet.movements, size, sheet.header.paper))
    blocks += () if sheet.whole else (unnumbered(sheet.has_title),)
    blocks += (title_page_text(sheet.title_page, sheet.header, size),) if sheet.title_page else ()
    blocks += legend(sheet) if sheet.has_title else ()
    opens = sheet.has_title
    for number, run in enumerate(sheet.runs):
        blocks += ("\\pageBreak\n",) if number else ()
        for movement in run:
            blocks.append(_movement_text(movement, sheet, opens))
            opens = False
    return "\n".join(blocks)


def _movement_text(movement: WrittenMovement, sheet: Sheet, opens: bool) -> str:
    """A movement; the one that opens the copy shows every part's full name."""
    parts, setting = movement.parts, sheet.setting
    style = SystemStyle(full_names=opens, short_names=not setting.alone, letters=sheet.header.show_letters)
    music = text_of(score_block(movement, parts, sheet.groups, style))
    room = "" if opens else name_room(setting.short_name, sheet.staff_size)
    return _movement_block(movement, music, room, _is_short(parts))


def _part_text(sheet: Sheet, reports: bool) -> str:
    """One player's part: no name before a system but those of a set of percussion, a heading for every movement."""
    size = Fraction(STAFF_SIZE)
    shown = map(printed_bars, sheet.movements)
    part = sheet.movements[0].parts[0].part
    names = [member.abbreviation for member in part.members]
    own = len(part.abbreviation) if names and part.abbreviation != ", ".join(names) else 0
    room = name_room(own + max(map(len, names), default=0), size)
    blocks = [part_preamble(sheet.header, sheet.first_page, reports, room)]
    planned = any(frame.ends_page for movement in sheet.movements for frame in movement.frames)
    blocks += legend(sheet)
    blocks.append(AS_IT_IS if planned else last_page(shown, size, sheet.header.paper))
    style = SystemStyle(full_names=False, short_names=bool(names), letters=sheet.header.show_letters)
    for movement in sheet.movements:
        if movement.tacet:
            blocks.append(tacet_block(movement))
        else:
            music = text_of(score_block(movement, movement.parts, (), style))
            blocks.append(_movement_block(movement, music, "", _is_short(movement.parts)))
    return "\n".join(blocks)


def _is_short(parts: tuple[WrittenPart, ...]) -> bool:
    busiest = max(
        (sum(1 for bar in staff.bars for voice in bar.voices for _ in leaves(voice)) for part in parts
         for staff in part.staves),
        default=0,
    )  # fmt: skip
    return busiest < _FULL_LINE


def _movement_block(movement: WrittenMovement, music: str, room: str, short: bool) -> str:
    lines = ["\\score", "{"]
    lines += ["    " + line if line else line for line in music.splitlines()]
    if movement.title.strip():
        lines.append(f"    \\header {{ piece = \\markup {column(movement.title, 50, 3, 'center-column')} }}")
    settings = ([] if not room else [f"indent = {room}"]) + (["ragged-last = ##t"] if short else [])
    lines += ["    \\layout", "    {", *(f"        {setting}" for setting in settings), "    }"]
    return "\n".join([*lines, "}"]) + "\n"
