"""The sheet of a MusicXML document: the same paper, margins and height of the staves as on the printed page.

In: the header and how many staves stand in a system. Out: the element `defaults`. MusicXML measures in tenths of the
distance between two staff lines: a staff is 40 of them high.
"""

from __future__ import annotations

from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from cavata.emit.lilypond_page import BOUND_MM, OUTER_MM
from cavata.emit.lilypond_part import STAFF_SIZE
from cavata.emit.lilypond_staff_size import millimetres, staff_size
from cavata.place.score import CopyKind, Header

_STAFF_TENTHS = 40
_HEAD_MM = 12
"""Above and below."""


def page_defaults(header: Header, staves: int) -> Element:
    """Scale, paper and margins; the first page lies on the right."""
    part = header.kind is CopyKind.PART
    height = millimetres(Fraction(STAFF_SIZE) if part else staff_size(staves, header.paper))
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


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}" if value < 100 else f"{float(value):.1f}"
