"""Drawing in SVG: elements with every text escaped, and how wide a text will be.

In: names, attributes and texts of any kind. Out: lines of SVG 1.1. Nothing a script says can become markup.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from cavata.text import ELLIPSIS, plain_text

FONT = "Nimbus Sans, TeX Gyre Heros, Helvetica, Arial, sans-serif"
INK, PALE = "#1a1a1a", "#595959"
"""Of text: both have a contrast of 7 to 1 and more on white, as WCAG 2.2 asks for at its highest level."""
_NARROW, _WIDE = frozenset("iljtfrI.,:;'|!()[]- "), frozenset("mwMWOQG@%—…")


def element(name: str, attributes: dict[str, object], inside: str | None = None) -> str:
    """An element; `inside` is markup that was made already."""
    given = "".join(f" {key}={quoteattr(plain_text(_text(value)))}" for key, value in attributes.items())
    return f"<{name}{given}/>" if inside is None else f"<{name}{given}>{inside}</{name}>"


def _text(value: object) -> str:
    """Lengths to a hundredth, so that the same picture has the same bytes everywhere."""
    if isinstance(value, Fraction | float):
        return f"{float(value):.2f}".rstrip("0").rstrip(".")
    return str(value)


def escaped(text: str) -> str:
    """The text as content of an element."""
    return escape(plain_text(text))


def width_of(text: str, size: float, bold: bool = False) -> float:
    """How wide a text will be at most, in the units of its size: never less than in Helvetica and its kin."""
    ems = sum(_ems(char) for char in text)
    return ems * size * (1.08 if bold else 1.0)


def _ems(char: str) -> float:
    if unicodedata.combining(char):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return 1.0
    if char in _NARROW:
        return 0.36
    if char in _WIDE:
        return 1.02 if char in "@%—…" else 0.9
    return 0.74 if char.isupper() or ord(char) > 127 else 0.58


def shortened(text: str, room: float, size: float, bold: bool = False) -> str:
    """The text, or as much of its beginning as there is room for; empty where not even three letters would do."""
    if width_of(text, size, bold) <= room:
        return text
    for count in range(len(text) - 1, 2, -1):
        short = text[:count].rstrip() + ELLIPSIS
        if width_of(short, size, bold) <= room:
            return short
    return ""


def label(
    x: float, y: float, text: str, size: float, anchor: str = "start", color: str = INK, bold: bool = False
) -> str:
    """A text on its base line."""
    return element(
        "text",
        {"x": x, "y": y, "font-size": size, "text-anchor": anchor, "fill": color,
         **({"font-weight": "bold"} if bold else {})},
        escaped(text),
    )  # fmt: skip


def svg(width: float, height: float, title: str, description: str, body: Iterable[str]) -> str:
    """A whole picture, on white."""
    lines = [
        element("title", {}, escaped(title)), element("desc", {}, escaped(description)),
        element("rect", {"width": width, "height": height, "fill": "#ffffff"}), *body,
    ]  # fmt: skip
    inside = "\n" + "\n".join(lines) + "\n"
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + element(
        "svg",
        {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {_text(width)} {_text(height)}",
         "width": width, "height": height, "font-family": FONT},
        inside,
    ) + "\n"  # fmt: skip


# ----------------------------------------------------------------
# A picture in SVG as a PNG.
#
# In: the SVG text, and font files. Out: the picture's bytes, or nothing where the library that draws is not installed.
# Only the fonts given are used, so that every machine draws the same picture. They have no accidentals, which are
# written
# `b` and `#`; a script that they do not hold, as Chinese, falls back on the system's fonts.


SCALE = 2.0
"""Points of the picture to a unit of the page: 2240 across."""
_UNITS_AN_INCH = 96.0
"""As CSS has it; sizes in points need it."""
_LAST_OF_THE_FONTS = 0x52F
"""Latin, Greek and Cyrillic end here in Unicode."""


def png_bytes(svg: str, fonts: Sequence[Path], scale: float = SCALE) -> bytes | None:
    """The picture, so many times as large; None if `resvg-py`, of the extra `pictures`, is not there."""
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        return None
    svg = svg.replace("♭", "b").replace("♯", "#")
    own = all(ord(char) <= _LAST_OF_THE_FONTS or char in "“”…·–—’" for char in svg)
    picture = svg_to_bytes(
        svg_string=svg, zoom=scale, dpi=_UNITS_AN_INCH, background="#ffffff",
        font_files=[str(path) for path in fonts], skip_system_fonts=own and bool(fonts),
    )  # fmt: skip
    return bytes(picture)
