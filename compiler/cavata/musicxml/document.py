"""MusicXML 4.0 from written bars, by music21.

In: the written score and the name of a movement. Out: the bytes of one document. Nothing is decided here: music21
exports without making notation, and its element tree is completed with what it cannot say: among it paper, margins and
the height of the staves, which are those of the printed page. The bytes are the same in every process and on every
Python; notes and measures have ids by what the script calls things (`ids`), so that a preview can lead back to them.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from math import lcm
from threading import Lock
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from music21 import defaults
from music21.musicxml.m21ToXml import ScoreExporter

from cavata.musicxml.finish import finish_part, number_measures
from cavata.musicxml.header import finish_part_list, legend, titles
from cavata.musicxml.ids import give_ids, ids_at_places
from cavata.musicxml.ossia import Staves, with_staves
from cavata.musicxml.score import built, opened
from cavata.notate.page import HEAD_MM, INNER_MM, OUTER_MM, millimeters
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.score.score import Header
from cavata.text import plain_text

_PROLOGUE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
    '<score-partwise version="4.0">\n'
)
_EXPORTING = Lock()
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


def musicxml_bytes(score: WrittenScore, movement: str, staves: Staves | None = None) -> bytes:
    """One movement or cadenza as a MusicXML document in UTF-8. Every part is there, silent ones too.

    With `staves` it has just these, silent where they have nothing in this movement. Raises KeyError if the score has
    no movement of that name.
    """
    number, found = _find(score, movement)
    with _collector_at_rest():
        return _document(score, with_staves(found, staves), number)


def head_of_all(score: WrittenScore) -> str:
    """What stands before the list of parts in a document of the whole piece."""
    return _text(score, (*titles(score.header), *_page(score), *legend(score)))


def _document(score: WrittenScore, found: WrittenMovement, number: int) -> bytes:
    divisions = _divisions(found)
    with _music21_counting(divisions):
        result = built(score, found)
        root = ScoreExporter(result.score, makeNotation=False).parse()
    parts = root.findall("part")
    ids = ids_at_places(found)
    for index, (element, part) in enumerate(zip(parts, found.parts, strict=True)):
        finish_part(element, part, found, result.lines, divisions, index == 0, score.header.concert_score)
        give_ids(element, found, part, ids)
    number_measures(parts[0], score.header.proof)
    part_list = root.find("part-list")
    finish_part_list(part_list, score, found)
    head = (*titles(score.header, found, number), *_page(score, found), *legend(score), part_list)
    return f"{_text(score, head)}{''.join(map(_written, parts))}</score-partwise>\n".encode()


def _text(score: WrittenScore, head: Iterable[Element]) -> str:
    """The beginning of a document up to its first part, each element of the head on lines of its own."""
    made = [_PROLOGUE]
    for element in head:
        ElementTree.indent(element)
        element.tail = "\n"
        made.append(_written(element))
    return "".join(made)


def _written(element: Element) -> str:
    return ElementTree.tostring(element, encoding="unicode")


def _page(score: WrittenScore, movement: WrittenMovement | None = None) -> tuple[Element, ...]:
    """Paper and margins, and what stands on the first page."""
    size = millimeters(score.page.staff_size)
    return _defaults(score.header, size), *_credits(score.header, size, movement)


def _find(score: WrittenScore, name: str) -> tuple[int, WrittenMovement]:
    for number, movement in enumerate(score.movements, 1):
        if movement.name == name:
            return number, movement
    raise KeyError(name)


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
