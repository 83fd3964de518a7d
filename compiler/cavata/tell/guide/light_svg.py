"""A picture as an address of its own, as small as it can be without looking otherwise.

In: an SVG of either engraver. Out: a `data:` address. Numbers are cut to thousandths, which no screen and no paper
shows; colors that are the default anyway, and spaces between numbers, are left out. Source: SVG 1.1, 8.3 and 11.3;
RFC 3986, 2.
"""

from __future__ import annotations

import re
from urllib.parse import quote

_NUMBER = re.compile(r"-?\d+\.\d{4,}")
_PATH = re.compile(r'(?<= d=")[^"]*')
_TOKEN = re.compile(r"[A-Za-z]|-?[\d.]+(?:e-?\d+)?")
_BLACK = re.compile(r' style=" ?(?:stroke:none;fill-rule:nonzero;)?fill:rgb\(0%,0%,0%\);fill-opacity:1;"')
_GROUP = re.compile(r"<g>\n((?:  <use [^>]*/>\n)*)</g>\n")
_FILLED = re.compile(r' style="stroke:none;"(?= d=)')
_BETWEEN = re.compile(r">\n\s*<")
_PLAIN = "=/:;,.()'!*@$+?-_~"
"""What an address may hold as it is, but for the sign that would end the attribute around it."""


def picture_address(svg: str) -> str:
    """The address of a picture."""
    return "data:image/svg+xml," + quote(_light(svg), safe=_PLAIN)


def _light(svg: str) -> str:
    svg = _NUMBER.sub(lambda found: _short(found[0]), svg)
    svg = _PATH.sub(lambda found: _path(found[0]), svg)
    svg = _GROUP.sub(r"\1", _BLACK.sub("", svg))
    svg = _BETWEEN.sub("><", _FILLED.sub("", svg))
    return svg if "'" in svg else svg.replace('"', "'")


def _short(number: str) -> str:
    return f"{float(number):.3f}".rstrip("0").rstrip(".")


def _path(path: str) -> str:
    """A path without spaces: nothing but a sign is needed before a number below zero."""
    made = ""
    for token in _TOKEN.findall(path):
        made += "," + token if made and made[-1].isdigit() and token[0].isdigit() else token
    return made
