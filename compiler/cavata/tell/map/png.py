"""A picture in SVG as a PNG.

In: the SVG text, and font files. Out: the picture's bytes, or nothing where the library that draws is not installed.
Only the fonts given are used, so that every machine draws the same picture. They have no accidentals, which are written
`b` and `#`; a script that they do not hold, as Chinese, falls back on the system's fonts.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

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
