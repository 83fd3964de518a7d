"""The page around the music: paper, staff size, titles, and the contexts' house style.

In: the header and how many staves stand in a system. Out: LilyPond text to stand before the scores.
"""

from __future__ import annotations

from fractions import Fraction
from importlib import resources

from cavata.emit.lilypond_string import column, ly_string
from cavata.place.score import Header

_SIZES = ((4, 20), (7, 18), (10, 16), (15, 14), (20, 12))
_SMALLEST = 10
_POINT_MM = 0.3515
"""A printer's point, 1/72.27 inch, in millimetres."""
_TITLE_WIDTH, _SUBTITLE_WIDTH, _COMPOSER_WIDTH = 38, 64, 36


def staff_size(staves: int) -> int:
    """The staff's height in points for so many staves in a system."""
    return next((size for most, size in _SIZES if staves <= most), _SMALLEST)


def preamble(header: Header, staves: int, name_length: int, short_length: int) -> str:
    """Version, paper, header and layout; the lengths are of the longest name before a system, in characters."""
    size = staff_size(staves)
    settings = [
        '\\version "2.24.0"',
        '\\language "english"',
        f"#(set-global-staff-size {size})",
        "\\paper",
        "{",
        '    #(set-paper-size "a4")',
        f"    indent = {name_room(name_length, size)}",
        f"    short-indent = {name_room(short_length, size)}",
        *(("    system-separator-markup = \\slashSeparator",) if staves > 2 else ()),
        "}",
    ]
    return "\n".join(settings) + "\n" + _style() + _header_block(header, size)


def name_room(characters: int, size: int) -> str:
    """Millimetres for a name and a bracket: a character of the text face is about half its height wide."""
    if not characters:
        return "0\\mm"
    return f"{(characters * 0.55 * 0.55 + 0.9) * size * _POINT_MM:.1f}\\mm"


def _style() -> str:
    """The paper and layout blocks that never change."""
    return resources.files("cavata.emit").joinpath("lilypond_style.ily").read_text(encoding="utf-8")


def _header_block(header: Header, size: int) -> str:
    # The distance between title lines shrinks with the staff, their letters do not: padding makes up for it.
    scale = Fraction(20, size)
    padding = f"#{float(scale * Fraction(2, 5) + scale - 1):.2f}"
    fields = [
        ("dedication", "10 \\italic", header.dedication, _SUBTITLE_WIDTH, "center-column"),
        ("title", "22", header.title, _TITLE_WIDTH, "center-column"),
        ("subtitle", "12 \\medium", header.subtitle, _SUBTITLE_WIDTH, "center-column"),
        ("composer", "11", header.composer, _COMPOSER_WIDTH, "right-column"),
    ]
    lines = [
        f"    {name} = \\markup \\pad-markup {padding} \\abs-fontsize #{style} {column(text, width, 4, kind)}"
        for name, style, text, width, kind in fields
        if text.strip()
    ]
    known = [f"    pdftitle = {ly_string(header.title[:200])}", f"    pdfcomposer = {ly_string(header.composer[:200])}"]
    return "\n".join(["\\header", "{", *lines, *known, "    tagline = ##f", "}"]) + "\n"
