"""The head of a MusicXML document as text: paper, margins, and what stands on the first page.

In: the written score. Out: the beginning of a document up to its list of parts. Nothing here needs music21.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from cavata.musicxml.header import legend, titles
from cavata.notate.paper.page import HEAD_MM, INNER_MM, OUTER_MM, millimeters
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import Header
from cavata.text import plain_text

_PROLOGUE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
    '<score-partwise version="4.0">\n'
)
_STAFF_TENTHS = 40
"""MusicXML measures a page in tenths of the distance between two staff lines."""
_READER = "part name"
_HEAD = (
    (_READER, 14, "left"), ("title", 22, "center"), ("subtitle", 14, "center"), ("dedication", 11, "center"),
    ("lyricist", 12, "left"), ("composer", 12, "right"), ("arranger", 12, "right"), ("movement title", 13, "center"),
)  # fmt: skip
"""The lines of the head, from the top, with the height of their letters in points; a line at the left goes on at the
right, and the reader's name beside the title. Source of the kinds: MusicXML 4.0, `credit-type`, which names those of
the piece but none for a movement."""
_RIGHTS_POINTS = 9
_LINE_MM = Fraction(254, 720) * Fraction(8, 5)
"""From a line to the next, for each point of its letters: a point is 1/72 inch."""


def beginning(score: WrittenScore, movement: WrittenMovement | None = None, number: int = 1) -> str:
    """What stands before the list of parts in the document of a movement, counted from 1, or of the whole piece."""
    size = millimeters(score.page.staff_size)
    page = (_defaults(score.header, size), *_credits(score.header, size, movement))
    elements = (*titles(score.header, movement, number), *page, *legend(score))
    return _PROLOGUE + "".join(map(on_lines, elements))


def on_lines(element: Element) -> str:
    """An element of the head, each of those in it on a line of its own."""
    ElementTree.indent(element)
    element.tail = "\n"
    return ElementTree.tostring(element, encoding="unicode")


def _defaults(header: Header, height: Fraction) -> Element:
    """Scale, paper and margins; the first page lies on the right."""
    made = Element("defaults")
    scaling = SubElement(made, "scaling")
    SubElement(scaling, "millimeters").text = _number(height)
    SubElement(scaling, "tenths").text = str(_STAFF_TENTHS)
    layout = SubElement(made, "page-layout")
    scale = _STAFF_TENTHS / height
    SubElement(layout, "page-height").text = _number(header.paper.height * scale)
    SubElement(layout, "page-width").text = _number(header.paper.width * scale)
    for side, left, right in (("odd", INNER_MM, OUTER_MM), ("even", OUTER_MM, INNER_MM)):
        margins = SubElement(layout, "page-margins", type=side)
        for name, length in (("left", left), ("right", right), ("top", HEAD_MM), ("bottom", HEAD_MM)):
            SubElement(margins, f"{name}-margin").text = _number(length * scale)
    return made


def _credits(header: Header, height: Fraction, movement: WrittenMovement | None) -> Iterator[Element]:
    """What stands at the head and foot of the first page; without a place readers put it all in one corner."""
    scale = _STAFF_TENTHS / height
    down = Fraction(HEAD_MM)
    heading = "" if movement is None else f"{movement.heading}: tacet" if movement.tacet else movement.title
    texts = (
        header.reader, header.title, header.subtitle, header.dedication, header.poet, header.composer,
        header.arranged_by, heading,
    )  # fmt: skip
    for text, (kind, points, side) in zip(texts, _HEAD, strict=True):
        if text.strip():
            yield _credit(kind, text, points, side, header, scale, header.paper.height - down)
            beside = kind == _READER or (side == "left" and (header.composer or header.arranged_by))
            down += 0 if beside else points * _LINE_MM
    up = Fraction(HEAD_MM)
    for text in (header.foot, header.number, header.publisher, header.copyright):
        if text.strip():
            up += _RIGHTS_POINTS * _LINE_MM
            yield _credit("rights", text, _RIGHTS_POINTS, "center", header, scale, up)


def _credit(
    kind: str, text: str, points: int, side: str, header: Header, scale: Fraction, height: Fraction
) -> Element:
    """A line of the first page, its upper edge so many millimeters above the lower edge of the paper."""
    across = {"left": Fraction(INNER_MM), "center": header.paper.width / 2}.get(side, header.paper.width - OUTER_MM)
    credit = Element("credit", page="1")
    SubElement(credit, "credit-type").text = kind
    words = SubElement(credit, "credit-words", {
        "default-x": _number(across * scale), "default-y": _number(height * scale),
        "font-size": str(points), "justify": side, "halign": side, "valign": "top",
    })  # fmt: skip
    words.text = plain_text(text)
    return credit


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}" if value < 100 else f"{float(value):.1f}"
