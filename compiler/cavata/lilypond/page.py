"""The page around the music: paper, staff size, titles, and the contexts' house style.

In: the header and the height of the staves. Out: LilyPond text to stand before the scores.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from importlib import resources
from math import log2

from cavata.lilypond.literals import column, letters_across, lines_of, ly_string
from cavata.names.paper import Paper
from cavata.notate.written import WrittenMovement
from cavata.score.score import Header

# ----------------------------------------------------------------
# How high the staves are: by how many stand in a system, and by the paper.
#
# In: the number of staves and the paper. Out: a height in points, of the sizes that LilyPond has letters for. They come
# near the old engravers' pens: 7 mm for piano and parts, 6.3 for chamber music, 5.6 and 4.9 for larger scores, 3.7 for
# the full orchestra, the smallest pen (from memory of the rastra 3 to 8).


POINT_MM = Fraction(254, 7227) * 10
"""A printer's point, 1/72.27 inch, in millimetres."""
SIZES = tuple(Fraction(size) for size in ("20", "18", "16", "14", "12", "10.5", "9", "8"))
READABLE = Fraction(21, 2)
"""Below it a conductor at a desk can hardly read: 3.7 mm."""
_USUAL = ((4, 20), (7, 18), (10, 16))
_LARGE = 14
"""A score of more staves, where the paper allows it."""
_AROUND_MM = 34
"""Margins, the page number, and room above and below the system."""
_LETTERS = Fraction(11, 20)
"""The height of letters in a staff's height, as LilyPond has them."""
_MARKS, _SMALLEST_NAME = Fraction(9), Fraction(7)
"""Points: letters of tempi and rehearsal marks, and of names, are no smaller."""
_NAMED = ("Staff", "RhythmicStaff", "PianoStaff")
_STAFF_ROOM = Fraction(5, 2)
"""What a staff takes with the room to the next one, in its own height."""


def staff_size(staves: int, paper: Paper) -> Fraction:
    """The staff's height in points for so many staves in a system."""
    usual = next((size for most, size in _USUAL if staves <= most), _LARGE)
    room = (paper.height - _AROUND_MM) / (max(1, staves) * _STAFF_ROOM * POINT_MM)
    return next((size for size in SIZES if size <= min(Fraction(usual), room)), SIZES[-1])


def millimetres(size: Fraction) -> Fraction:
    """A height in points as millimetres."""
    return size * POINT_MM


def name_points(size: Fraction) -> Fraction:
    """The height of the letters of instruments' names: those of a 20-point staff are 11 points high, none below 7."""
    return max(_LETTERS * size, _SMALLEST_NAME)


def text_settings(size: Fraction) -> str:
    """What is told to all players, enlarged in a score of small staves so that a conductor can read it."""
    marks, names = _steps(_MARKS / (_LETTERS * size)), _steps(_SMALLEST_NAME / (_LETTERS * size))
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


# ----------------------------------------------------------------

BOUND_MM, OUTER_MM = 18, 13
"""The margins at the side of the binding and at the other."""
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
_CHAMBER = 6
"""In a score of more staves a sign parts the systems of a page."""
_RUNNING_WIDTH = 70
_TITLE_LINES, _LEADING = 4, Fraction(6, 5)
"""Lines of a title at most, and their distance in the height of its letters."""
_TITLE_WIDTH, _SUBTITLE_WIDTH, _COMPOSER_WIDTH = 32, 64, 36
"""Letters in a line of each on A4; wider paper holds more."""


def preamble(header: Header, size: Fraction, staves: int, name_length: int, short_length: int) -> str:
    """Version, paper, header and layout; the lengths are of the longest name before a system, in characters."""
    settings = [
        '\\version "2.24.0"',
        '\\language "english"',
        f"#(set-global-staff-size {float(size):g})",
        "\\paper",
        "{",
        *(f"    {line}" for line in sheet(header.paper)),
        f"    indent = {name_room(name_length, size)}",
        f"    short-indent = {name_room(short_length, size)}",
        *(("    system-separator-markup = \\slashSeparator",) if staves > _CHAMBER else ()),
        "}",
    ]
    return "\n".join(settings) + "\n" + style() + text_settings(size) + feet(header) + _header_block(header, size)


def sheet(paper: Paper) -> tuple[str, ...]:
    """The sheet, wider at the side where it is bound; the first page lies on the right."""
    return (
        f"paper-width = {float(paper.width):g}\\mm",
        f"paper-height = {float(paper.height):g}\\mm",
        "two-sided = ##t",
        f"inner-margin = {BOUND_MM}\\mm",
        f"outer-margin = {OUTER_MM}\\mm",
    )


def unnumbered(has_title: bool) -> str:
    """For a sheet that will be joined to others, when it is known which pages lie on the right.

    What stands at the head and foot of a page keeps its place but is not printed; the margins are those of the right.
    """
    more = "" if has_title else _LATER_SHEET
    return _UNNUMBERED.format(left=BOUND_MM, right=OUTER_MM, more=more)


def blank_pages(pages: int) -> str:
    """Pages with nothing on them but what stands at their head and foot."""
    page = "    \\markup \\null\n"
    text = page + ("    \\pageBreak\n" + page) * (pages - 1)
    return "\\bookpart\n{\n    \\paper { bookTitleMarkup = ##f }\n" + text + "}\n"


def name_room(characters: int, size: Fraction) -> str:
    """Millimetres for a name and a bracket: a character of the text face is about half its height wide."""
    if not characters:
        return "0\\mm"
    return f"{characters * 0.55 * float(millimetres(name_points(size))) + 0.9 * float(millimetres(size)):.1f}\\mm"


def style() -> str:
    """The paper and layout blocks that never change, of score and parts."""
    return resources.files("cavata.lilypond").joinpath("style.ily").read_text(encoding="utf-8")


def _header_block(header: Header, size: Fraction) -> str:
    # The distance between title lines shrinks with the staff, their letters do not: padding makes up for it.
    scale = 20 / size
    padding = f"#{float(scale * Fraction(2, 5) + scale - 1):.2f}"
    fields = [
        ("dedication", "10 \\italic", header.dedication, _SUBTITLE_WIDTH, "center-column"),
        ("title", "22", header.title, _TITLE_WIDTH, "center-column"),
        ("subtitle", "12 \\medium", header.subtitle, _SUBTITLE_WIDTH, "center-column"),
        ("composer", "11", header.composer, _COMPOSER_WIDTH, "right-column"),
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
    running = " \u2013 ".join(text for text in (header.title, header.reader) if text.strip())
    running = lines_of(running, _RUNNING_WIDTH, 1)[0]
    return f"    running = \\markup \\abs-fontsize #9 \\italic {ly_string(running)}"


# ----------------------------------------------------------------
# Whether the last page is filled like the others.
#
# In: the movements of a copy, the height of its staves, and the paper. Out: LilyPond text that leaves the page of a
# very
# short piece as it is, with its systems together at the top; nothing for a longer one. Judged by a coarse measure.


_IN_A_LINE = 30
"""About how many notes of the busiest staff stand in a line at a staff of 20 points."""
_ROOM = 3
"""What a staff of a short piece takes with the room around it, in its own height."""
_HEAD_MM = 70
"""Margins and titles."""
_LEAST = Fraction(2, 3)
"""A piece that fills less of its page stands at the top."""
AS_IT_IS = "\\paper\n{\n    ragged-last-bottom = ##t\n}\n"
"""The setting for a last page whose systems stay together at the top."""


def last_page(movements: Iterable[WrittenMovement], size: Fraction, paper: Paper) -> str:
    """The setting for a copy of these movements."""
    height = sum((_lines(movement, size) * _staves(movement) for movement in movements), Fraction(0))
    filled = height * _ROOM * millimetres(size) / (paper.height - _HEAD_MM)
    return AS_IT_IS if filled < _LEAST else ""


def _staves(movement: WrittenMovement) -> int:
    return sum(len(part.staves) for part in movement.parts)


def _lines(movement: WrittenMovement, size: Fraction) -> int:
    staves = [staff for part in movement.parts for staff in part.staves]
    notes = sum(
        max((len(voice) for staff in staves for voice in staff.bars[place].voices), default=0) + 2
        for place in range(len(movement.frames))
    )
    return max(1, -(-notes * size // (20 * _IN_A_LINE)))


# ----------------------------------------------------------------
# What a proof copy has on every page and at every bar; a fair copy has nothing of it.
#
# In: the header, or the words for a line of the script. Out: LilyPond text.


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


def feet(header: Header) -> str:
    """What stands at the foot of the pages, and which bars are numbered."""
    words = f"\\markup \\fill-line {{ \\abs-fontsize #9 \\italic {ly_string(header.foot)} }}"
    foot = words if header.foot else "##f"
    paper = f"\\paper\n{{\n    oddFooterMarkup = {foot}\n    evenFooterMarkup = {foot}\n}}\n"
    return paper + (_EVERY_BAR if header.proof else "")


def script_line(words: str) -> str:
    """A line of the script, small and grey."""
    return f'\\markup \\with-color #(x11-color "grey50") \\abs-fontsize #6 \\sans {ly_string(words)}'
