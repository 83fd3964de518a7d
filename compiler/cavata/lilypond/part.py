"""The page of a part: a larger staff, the reader's name at the top, rests of several bars as one.

In: the header of a part and how its page is set. Out: LilyPond text to stand before its movements, and the text of a
movement in which the part is silent. Source of the layout: common practice; the sizes are this project's own.
"""

from __future__ import annotations

from fractions import Fraction
from importlib import resources

from cavata.lilypond.literals import column, letters_across, ly_string
from cavata.lilypond.page import feet, heading, millimeters_text, running_head, sheet, style
from cavata.notate.written import PageSetting, WrittenMovement
from cavata.score.score import Header

_NAME_WIDTH, _TITLE_WIDTH, _SUBTITLE_WIDTH, _COMPOSER_WIDTH = 48, 50, 70, 40


def part_preamble(header: Header, page: PageSetting, reports: bool) -> str:
    """Version, paper, header and layout.

    With `reports` LilyPond says of every system on which page it stands, from when to when it goes and how high it is.
    """
    settings = [
        '\\version "2.24.0"',
        '\\language "english"',
        f"#(set-global-staff-size {float(page.staff_size):g})",
        "\\paper",
        "{",
        *(f"    {line}" for line in sheet(header.paper)),
        f"    indent = {millimeters_text(page.first_room)}",
        f"    short-indent = {millimeters_text(page.later_room)}",
        "}",
    ]
    people = _file("part_people.ily") if header.poet.strip() or header.arranged_by else ""
    own = _file("part.ily") + people + (page_reports() if reports else "")
    return "\n".join(settings) + "\n" + style() + own + feet(header) + _header_block(header, page.staff_size)


def page_reports() -> str:
    """What has LilyPond report on which page each system stands."""
    return _file("part_report.ily")


def front_page(header: Header) -> str:
    """The page before a part that begins on the left: printed on both sides, its turns stay where they were planned."""
    lines = [
        f"\\fill-line {{ {face} {column(text, letters_across(width, header.paper), 4, 'center-column')} }} \\vspace #2"
        for face, text, width in (
            ("\\abs-fontsize #16", header.composer, 44), ("\\abs-fontsize #26 \\bold", header.title, 28),
            ("\\abs-fontsize #14", header.subtitle, 54), ("\\abs-fontsize #20 \\bold", header.reader, 36),
        )
        if text.strip()
    ]  # fmt: skip
    return "\n".join([
        "\\bookpart", "{", "    \\paper", "    {",
        f"        top-margin = {float(header.paper.height / 4):.1f}\\mm",
        "        bookTitleMarkup = ##f",
        "        oddFooterMarkup = ##f",
        "    }", "    \\markup \\column", "    {", *(f"        {line}" for line in lines), "    }", "}", "",
    ])  # fmt: skip


def _file(name: str) -> str:
    return resources.files("cavata.lilypond").joinpath(name).read_text(encoding="utf-8")


def _header_block(header: Header, size: Fraction) -> str:
    fields = [
        ("reader", "14 \\bold", header.reader, _NAME_WIDTH, "column"),
        ("title", "18 \\bold", header.title, _TITLE_WIDTH, "center-column"),
        ("subtitle", "11", header.subtitle, _SUBTITLE_WIDTH, "center-column"),
        ("composer", "11", header.composer, _COMPOSER_WIDTH, "right-column"),
        ("poet", "11", header.poet, _COMPOSER_WIDTH, "column"),
        ("arranger", "11", header.arranged_by, _COMPOSER_WIDTH, "right-column"),
    ]
    lines = [
        f"    {name} = \\markup {heading(face, text, width, kind, size)}"
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
