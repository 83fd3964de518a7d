"""The page around the music: paper, margins, titles, and the contexts' house style.

In: the header and how the page is set. Out: LilyPond text to stand before the scores. A proof copy numbers every bar
and says at the foot of its pages that it is one.
"""

from __future__ import annotations

from fractions import Fraction
from importlib import resources
from math import log2
from string import Template

from cavata.lilypond.literals import column, letters_across, ly_string
from cavata.names.paper import Paper
from cavata.notate.paper.page import HEAD_MM, INNER_MM, LETTERS, OUTER_MM, SMALLEST_NAME
from cavata.notate.written import PageSetting
from cavata.score.score import Header
from cavata.text import dashed

_MARKS = Fraction(9)
"""Points: letters of tempi and rehearsal marks are no smaller."""
_NAMED = ("Staff", "RhythmicStaff", "PianoStaff")
_UNNUMBERED = """\
\\paper
{{
    two-sided = ##f
    left-margin = {left}\\mm
    right-margin = {right}\\mm
    #(for-each
      (lambda (name)
       (let ((heading (ly:parser-lookup name)))
        (if (markup? heading) (module-define! (current-module) name (make-transparent-markup heading)))))
      '(oddHeaderMarkup evenHeaderMarkup oddFooterMarkup evenFooterMarkup))
{more}}}
"""
_LATER_SHEET = """\
    bookTitleMarkup = ##f
    oddHeaderMarkup = \\markup \\transparent \\fill-line { \\fromproperty #'header:running \\abs-fontsize #10 "8" }
    evenHeaderMarkup = \\oddHeaderMarkup
"""
"""A sheet's first page is not the first of the copy: it too has a head."""
_RUNNING_WIDTH, _FOOT_WIDTH = 70, 110
_TITLE_LINES, _LEADING = 4, Fraction(6, 5)
"""Lines of a title at most, and their distance in the height of its letters."""
_TITLE_WIDTH, _SUBTITLE_WIDTH, _COMPOSER_WIDTH = 32, 64, 36
"""Letters in a line of each on A4; wider paper holds more."""
_EVERY_BAR = """\
\\layout
{
    \\context
    {
        \\Score
        barNumberVisibility = #all-bar-numbers-visible
        \\override BarNumber.break-visibility = #end-of-line-invisible
    }
}
"""
AS_IT_IS = "\\paper\n{\n    ragged-last-bottom = ##t\n}\n"
"""For a last page whose systems stay together at the top."""
AIR_AT_THE_END = """\
\\noPageBreak
\\markup \\with-dimensions #'(0 . 0) #'(0 . 0) \\null
"""
"""After the last system: what its page lacks to be full lies mostly here, where every other page spreads its staves."""


def preamble(header: Header, page: PageSetting, opens: bool) -> str:
    """Version, paper, header and layout; names stand before the first system where it `opens` the copy."""
    size = page.staff_size
    settings = [
        '\\version "2.24.0"',
        '\\language "english"',
        f"#(set-global-staff-size {float(size):g})",
        "\\paper",
        "{",
        *(f"    {line}" for line in sheet(header.paper)),
        f"    indent = {millimeters_text(page.first_room if opens else Fraction(0))}",
        f"    short-indent = {millimeters_text(page.later_room)}",
        *(("    system-separator-markup = \\slashSeparator",) if page.separated else ()),
        "}",
    ]
    own = style() + style_file("score.ily") + text_settings(size)
    return "\n".join(settings) + "\n" + own + feet(header) + _header_block(header, size)


def sheet(paper: Paper) -> tuple[str, ...]:
    """The sheet, wider at the side where it is bound; the first page lies on the right."""
    return (
        f"paper-width = {float(paper.width):g}\\mm",
        f"paper-height = {float(paper.height):g}\\mm",
        "two-sided = ##t",
        f"inner-margin = {INNER_MM}\\mm",
        f"outer-margin = {OUTER_MM}\\mm",
    )


def millimeters_text(length: Fraction) -> str:
    """A length in millimeters."""
    return f"{float(length):.1f}\\mm" if length else "0\\mm"


def unnumbered(has_title: bool) -> str:
    """For a sheet that will be joined to others, when it is known which pages lie on the right.

    What stands at the head and foot of a page keeps its place but is not printed; the margins are those of the right.
    """
    more = "" if has_title else _LATER_SHEET
    return _UNNUMBERED.format(left=INNER_MM, right=OUTER_MM, more=more)


def blank_pages(pages: int) -> str:
    """Pages with nothing on them but what stands at their head and foot."""
    page = "    \\markup \\null\n"
    text = page + ("    \\pageBreak\n" + page) * (pages - 1)
    return "\\bookpart\n{\n    \\paper { bookTitleMarkup = ##f }\n" + text + "}\n"


def style() -> str:
    """The paper and layout blocks that never change, of score and parts."""
    return Template(style_file("style.ily")).substitute(head=HEAD_MM)


def style_file(name: str) -> str:
    """What is always the same on pages of a kind."""
    return resources.files("cavata.lilypond").joinpath(name).read_text(encoding="utf-8")


def text_settings(size: Fraction) -> str:
    """What is told to all players, enlarged in a score of small staves so that a conductor can read it."""
    marks, names = _steps(_MARKS / (LETTERS * size)), _steps(SMALLEST_NAME / (LETTERS * size))
    if not marks:
        return ""
    grown = (("MetronomeMark", marks), ("RehearsalMark", 2 + marks), ("BarNumber", marks - 2))
    score = [f"        \\override {name}.font-size = #{steps:g}" for name, steps in grown]
    staff = f"        \\override InstrumentName.font-size = #{names:g}"
    blocks = [_context("Score", score), *(_context(name, [staff]) for name in _NAMED if names)]
    return "\n".join(["\\layout", "{", *blocks, "}"]) + "\n"


def _context(name: str, lines: list[str]) -> str:
    return "\n".join(["    \\context", "    {", f"        \\{name}", *lines, "    }"])


def _steps(factor: Fraction) -> float:
    """LilyPond's steps of font size for a factor: six double it; none for a factor below one."""
    return round(max(0.0, 6 * log2(factor)), 1)


def _header_block(header: Header, size: Fraction) -> str:
    # The distance between title lines shrinks with the staff, their letters do not: padding makes up for it.
    scale = 20 / size
    padding = f"#{float(scale * Fraction(2, 5) + scale - 1):.2f}"
    fields = [
        ("dedication", "10 \\italic", header.dedication, _SUBTITLE_WIDTH, "center-column"),
        ("title", "22", header.title, _TITLE_WIDTH, "center-column"),
        ("subtitle", "12 \\medium", header.subtitle, _SUBTITLE_WIDTH, "center-column"),
        ("composer", "11", header.composer, _COMPOSER_WIDTH, "right-column"),
        ("poet", "11", header.poet, _COMPOSER_WIDTH, "column"),
        ("arranger", "11", header.arranged_by, _COMPOSER_WIDTH, "right-column"),
    ]
    lines = [
        f"    {name} = \\markup \\pad-markup {padding} "
        f"{heading(style, text, letters_across(width, header.paper), kind, size)}"
        for name, style, text, width, kind in fields
        if text.strip()
    ]
    lines.append(running_head(header))
    known = [f"    pdftitle = {ly_string(header.title[:200])}", f"    pdfcomposer = {ly_string(header.composer[:200])}"]
    return "\n".join(["\\header", "{", *lines, *known, "    tagline = ##f", "}"]) + "\n"


def heading(style: str, text: str, width: int, kind: str, size: Fraction) -> str:
    """A title in a size in points and a face; its lines, where it has several, stand close for their size."""
    skip = Fraction(style.split()[0]) * _LEADING / (size / 4)
    lines = column(text, width, _TITLE_LINES, kind)
    return f"\\abs-fontsize #{style} \\override #'(baseline-skip . {float(skip):.2f}) {lines}"


def running_head(header: Header) -> str:
    """The field that stands at the head of every page but the first: the piece, and whose copy it is."""
    running = dashed(header.title, header.reader)
    return f"    running = \\markup \\abs-fontsize #9 \\italic {column(running, _RUNNING_WIDTH, 1)}"


def feet(header: Header) -> str:
    """What stands at the foot of the pages, and which bars are numbered.

    Whose the rights are is said on the first page of the music, the edition's number on every page.
    """
    on_first = "\\if \\on-first-page-of-part "
    said = (
        (on_first, "9", header.copyright), (on_first, "9", header.publisher), ("", "8", header.number),
        ("", "9 \\italic", header.foot),
    )  # fmt: skip
    lines = [f"{where}{_foot_line(face, text)}" for where, face, text in said if text.strip()]
    together = f"\\column {{ {' '.join(lines)} }}" if len(lines) > 1 else "".join(lines)
    foot = f"\\markup {together}" if together else "##f"
    paper = f"\\paper\n{{\n    oddFooterMarkup = {foot}\n    evenFooterMarkup = {foot}\n}}\n"
    return paper + (_EVERY_BAR if header.proof else "")


def _foot_line(face: str, text: str) -> str:
    return f"\\fill-line {{ \\abs-fontsize #{face} {column(text, _FOOT_WIDTH, 1)} }}"


def script_line(words: str) -> str:
    """A line of the script, small and gray."""
    return f'\\markup \\with-color #(x11-color "grey50") \\abs-fontsize #6 \\sans {ly_string(words)}'
