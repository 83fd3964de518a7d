"""The sheet of a MusicXML document: the same paper, margins and height of the staves as on the printed page.

In: the header and the height of a staff in millimetres. Out: the elements `defaults` and `credit`. MusicXML measures in
tenths of the distance between two staff lines: a staff is 40 of them high.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from cavata.emit.plain_text import plain_text
from cavata.lilypond.page import BOUND_MM, OUTER_MM
from cavata.score.score import Header

_STAFF_TENTHS = 40
_HEAD_MM = 12
"""Above and below."""
_HEAD = (("title", 22, "center"), ("subtitle", 14, "center"), ("dedication", 11, "center"), ("composer", 12, "right"))
"""The lines of the head, from the top, with the height of their letters in points."""
_LINE_MM = Fraction(254, 720) * Fraction(8, 5)
"""From a line to the next, for each point of its letters: a point is 1/72 inch."""


def page_defaults(header: Header, height: Fraction) -> Element:
    """Scale, paper and margins; the first page lies on the right."""
    made = Element("defaults")
    scaling = SubElement(made, "scaling")
    SubElement(scaling, "millimeters").text = _number(height)
    SubElement(scaling, "tenths").text = str(_STAFF_TENTHS)
    layout = SubElement(made, "page-layout")
    scale = _STAFF_TENTHS / height
    SubElement(layout, "page-height").text = _number(header.paper.height * scale)
    SubElement(layout, "page-width").text = _number(header.paper.width * scale)
    for side, left, right in (("odd", BOUND_MM, OUTER_MM), ("even", OUTER_MM, BOUND_MM)):
        margins = SubElement(layout, "page-margins", type=side)
        for name, length in (("left", left), ("right", right), ("top", _HEAD_MM), ("bottom", _HEAD_MM)):
            SubElement(margins, f"{name}-margin").text = _number(length * scale)
    return made


def credits_of(header: Header, height: Fraction) -> Iterator[Element]:
    """What stands at the head of the first page, line under line; without a place readers put it all in one corner."""
    scale = _STAFF_TENTHS / height
    down = Fraction(_HEAD_MM)
    for text, (kind, points, side) in zip(
        (header.title, header.subtitle, header.dedication, header.composer), _HEAD, strict=True
    ):
        if text:
            across = header.paper.width / 2 if side == "center" else header.paper.width - OUTER_MM
            credit = Element("credit", page="1")
            SubElement(credit, "credit-type").text = kind
            words = SubElement(credit, "credit-words", {
                "default-x": _number(across * scale), "default-y": _number((header.paper.height - down) * scale),
                "font-size": str(points), "justify": side, "halign": side, "valign": "top",
            })  # fmt: skip
            words.text = plain_text(text)
            down += points * _LINE_MM
            yield credit


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}" if value < 100 else f"{float(value):.1f}"
