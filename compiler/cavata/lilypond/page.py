"""The page around the music: paper, staff size, titles, and the contexts' house style.

In: the header and the height of the staves. Out: LilyPond text to stand before the scores.
"""

from __future__ import annotations

from fractions import Fraction
from importlib import resources

from cavata.lilypond.proof import feet
from cavata.lilypond.staff_size import millimetres, name_points, text_settings
from cavata.lilypond.string import column, letters_across, lines_of, ly_string
from cavata.names.paper import Paper
from cavata.score.score import Header

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
