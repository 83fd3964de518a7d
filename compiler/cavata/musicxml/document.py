"""MusicXML 4.0 from written bars, by music21.

In: the written score and the name of a movement. Out: the bytes of one document, made of this movement alone and of
what holds for the whole, so that no change of another movement changes them. Nothing is decided here: music21
exports without making notation, and its element tree is completed with what it cannot say: among it paper, margins and
the height of the staves, which are those of the printed page. The bytes are the same in every process and on every
Python; notes have ids by their place (`note_id`), so that a preview can lead back to them.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from math import lcm
from threading import Lock
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from music21 import defaults
from music21.musicxml.m21ToXml import ScoreExporter

from cavata.musicxml.finish import finish_part
from cavata.musicxml.header import finish_part_list, legend, titles
from cavata.musicxml.ossia import with_ossia_staves
from cavata.musicxml.score import built, note_id, opened
from cavata.musicxml.single import Single, single
from cavata.notate.page import HEAD_MM, INNER_MM, OUTER_MM, millimeters
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import Header
from cavata.text import plain_text

__all__ = ["musicxml_bytes", "note_id"]

_PROLOGUE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_EXPORTING = Lock()
_STAFF_TENTHS = 40
"""MusicXML measures a page in tenths of the distance between two staff lines."""
_HEAD = (
    ("title", 22, "center"), ("subtitle", 14, "center"), ("dedication", 11, "center"), ("lyricist", 12, "left"),
    ("composer", 12, "right"), ("arranger", 12, "right"),
)  # fmt: skip
"""The lines of the head, from the top, with the height of their letters in points; a line at the left goes on at the
right."""
_RIGHTS_POINTS = 9
_LINE_MM = Fraction(254, 720) * Fraction(8, 5)
"""From a line to the next, for each point of its letters: a point is 1/72 inch."""


def musicxml_bytes(score: WrittenScore, movement: str) -> bytes:
    """One movement or cadenza as a MusicXML document in UTF-8. Every part is there, silent ones too.

    Raises KeyError if the score has no movement of that name.
    """
    return document(single(score, movement))


def document(made_of: Single) -> bytes:
    """A movement as a MusicXML document in UTF-8."""
    with _collector_at_rest():
        return _document(made_of.score, made_of.score.movements[0], made_of.number)


def _document(score: WrittenScore, found: WrittenMovement, number: int) -> bytes:
    found = with_ossia_staves(found)
    divisions = _divisions(found)
    with _music21_counting(divisions):
        result = built(score, found)
        root = ScoreExporter(result.score, makeNotation=False).parse()
    parts = root.findall("part")
    for index, (element, part) in enumerate(zip(parts, found.parts, strict=True)):
        finish_part(element, part, found, result.lines, divisions, index == 0, score.header.concert_score)
    size = millimeters(score.page.staff_size)
    page = (_defaults(score.header, size), *_credits(score.header, size))
    head = [*titles(score.header, found, number), *page, *legend(score)]
    part_list = root.find("part-list")
    finish_part_list(part_list, score, found)
    for element in (*head, part_list):
        ElementTree.indent(element)
        element.tail = "\n"
    root.text = "\n"
    root[:] = [*head, part_list, *parts]
    return (_PROLOGUE + ElementTree.tostring(root, encoding="unicode") + "\n").encode()


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


def _credits(header: Header, height: Fraction) -> Iterator[Element]:
    """What stands at the head and foot of the first page; without a place readers put it all in one corner."""
    scale = _STAFF_TENTHS / height
    down = Fraction(HEAD_MM)
    for text, (kind, points, side) in zip(
        (header.title, header.subtitle, header.dedication, header.poet, header.composer, header.arranged_by), _HEAD,
        strict=True,
    ):
        if text:
            yield _credit(kind, text, points, side, header, scale, header.paper.height - down)
            down += points * _LINE_MM if side != "left" or not (header.composer or header.arranged_by) else 0
    up = Fraction(HEAD_MM)
    for text in (header.publisher, header.copyright):
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


def _divisions(movement: WrittenMovement) -> int:
    """The parts of a quarter note in which every length of the movement is whole."""
    found = 1
    for frame in movement.frames:
        found = lcm(found, (frame.duration * 4).denominator)
        for offset, _ in (*frame.tempi, *frame.paces):
            found = lcm(found, (offset * 4).denominator)
    seen: set[tuple[object, ...]] = set()
    for part in movement.parts:
        for staff in part.staves:
            for bar in staff.bars:
                for voice in (*bar.voices, bar.cue):
                    for leaf, brackets in opened(voice):
                        if len(leaf.marks.figures) > 1 and leaf.event is not None:
                            each = leaf.event.event.duration * 4 / len(leaf.marks.figures)
                            found = lcm(found, each.denominator)
                        shape = (leaf.base, leaf.dots, *((b.actual, b.normal) for b in brackets))
                        if shape not in seen:
                            seen.add(shape)
                            length = leaf.written * 4
                            for bracket in brackets:
                                length = length * bracket.normal / bracket.actual
                            found = lcm(found, length.denominator)
    return found


@contextmanager
def _music21_counting(divisions: int) -> Iterator[None]:
    """Let music21 count in these divisions of a quarter: its own lose time in 11- and 13-tuplets.

    They are a global of the library, so exports wait for one another.
    """
    with _EXPORTING:
        before = defaults.divisionsPerQuarter
        defaults.divisionsPerQuarter = divisions
        try:
            yield
        finally:
            defaults.divisionsPerQuarter = before


@contextmanager
def _collector_at_rest() -> Iterator[None]:
    """Keep the garbage collector from walking so many objects again and again, all of which are still in use."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()
