"""The page of a part: a larger staff, the reader's name at the top, rests of several bars as one.

In: the header of a part. Out: LilyPond text to stand before its movements, and the text of a movement in which the part
is silent. Source of the layout: common practice; the sizes are this project's own.
"""

from __future__ import annotations

from fractions import Fraction
from importlib import resources

from cavata.lilypond.literals import column, ly_string
from cavata.lilypond.page import feet, heading, running_head, sheet, style
from cavata.notate.written import WrittenMovement
from cavata.record import replace
from cavata.score.score import Header

STAFF_SIZE = 20
"""Points: the five lines are 7 mm high, which can be read from a music stand."""
_NAME_WIDTH, _TITLE_WIDTH, _SUBTITLE_WIDTH, _COMPOSER_WIDTH = 48, 50, 70, 40


def part_preamble(header: Header, first_page: int, reports: bool, room: str) -> str:
    """Version, paper, header and layout; `first_page` is the number of the page that it begins on.

    With `reports` LilyPond says of every system on which page it stands, from when to when it goes and how high it is.
    `room` is what stands free before each system, for the names of a set of percussion.
    """
    settings = [
        '\\version "2.24.0"',
        '\\language "english"',
        f"#(set-global-staff-size {STAFF_SIZE})",
        "\\paper",
        "{",
        *(f"    {line}" for line in sheet(header.paper)),
        *((f"    first-page-number = {first_page}",) if first_page > 1 else ()),
        f"    indent = {room}",
        f"    short-indent = {room}",
        "}",
    ]
    own = _file("part.ily") + (_file("part_report.ily") if reports else "")
    return "\n".join(settings) + "\n" + style() + own + feet(header) + _header_block(header)


def _file(name: str) -> str:
    return resources.files("cavata.lilypond").joinpath(name).read_text(encoding="utf-8")


def _header_block(header: Header) -> str:
    fields = [
        ("reader", "14 \\bold", header.reader, _NAME_WIDTH, "column"),
        ("title", "18 \\bold", header.title, _TITLE_WIDTH, "center-column"),
        ("subtitle", "11", header.subtitle, _SUBTITLE_WIDTH, "center-column"),
        ("composer", "11", header.composer, _COMPOSER_WIDTH, "right-column"),
    ]
    lines = [
        f"    {name} = \\markup {heading(face, text, width, kind, Fraction(STAFF_SIZE))}"
        for name, face, text, width, kind in fields
        if text.strip()
    ]
    known = [
        running_head(header),
        f"    pdftitle = {ly_string(f'{header.title[:200]} ({header.reader[:200]})')}",
        f"    pdfcomposer = {ly_string(header.composer[:200])}",
    ]
    return "\n".join(["\\header", "{", *lines, *known, "    tagline = ##f", "}"]) + "\n"


def tacet_block(movement: WrittenMovement) -> str:
    """The heading of a movement in which the part is silent, and that it is."""
    title = column(movement.heading, 50, 3, "center-column")
    heading = f"\\fill-line {{ \\abs-fontsize #14 \\bold {title} }}"
    words = "tacet, attacca" if movement.attacca else "tacet"
    said = f"\\fill-line {{ \\abs-fontsize #12 \\italic {ly_string(words)} }}"
    return f"\\markup \\column {{ \\vspace #1 {heading} \\vspace #0.3 {said} \\vspace #0.5 }}\n"


def printed_bars(movement: WrittenMovement) -> WrittenMovement:
    """The movement with one bar for each rest of several, as it takes room on the page; none where it is silent."""
    bars = movement.parts[0].staves[0].bars
    kept = [place for place, bar in enumerate(bars) if bar.rest_bars and not movement.tacet]
    parts = tuple(
        replace(part, staves=tuple(
            replace(staff, bars=tuple(staff.bars[place] for place in kept)) for staff in part.staves
        )) for part in movement.parts
    )  # fmt: skip
    return replace(movement, frames=tuple(movement.frames[place] for place in kept), parts=parts)
