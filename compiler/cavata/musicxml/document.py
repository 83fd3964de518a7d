"""MusicXML 4.0 from written bars, by music21.

In: the written score and the name of a movement. Out: the bytes of one document. Nothing is decided here: music21
exports without making notation, and its element tree is completed with what it cannot say. The bytes are the same in
every process and on every Python; notes have ids by their place (`note_id`), so that a preview can lead back to them.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from math import lcm
from threading import Lock
from xml.etree import ElementTree

from music21 import defaults
from music21.musicxml.m21ToXml import ScoreExporter

from cavata.lilypond.sheets import whole_sheet
from cavata.lilypond.staff_size import millimetres
from cavata.musicxml.finish import finish_part
from cavata.musicxml.header import finish_part_list, legend, titles
from cavata.musicxml.page import credits_of, page_defaults
from cavata.musicxml.score import built, note_id, opened
from cavata.notate.written import WrittenMovement, WrittenScore

__all__ = ["musicxml_bytes", "note_id"]

_PROLOGUE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_EXPORTING = Lock()


def musicxml_bytes(score: WrittenScore, movement: str) -> bytes:
    """One movement or cadenza as a MusicXML document in UTF-8. Every part is there, silent ones too.

    Raises KeyError if the score has no movement of that name.
    """
    number, found = _find(score, movement)
    with _collector_at_rest():
        return _document(score, found, number)


def _document(score: WrittenScore, found: WrittenMovement, number: int) -> bytes:
    divisions = _divisions(found)
    with _music21_counting(divisions):
        result = built(score, found)
        root = ScoreExporter(result.score, makeNotation=False).parse()
    parts = root.findall("part")
    for index, (element, part) in enumerate(zip(parts, found.parts, strict=True)):
        finish_part(element, part, found, result.lines, divisions, index == 0, score.header.concert_score)
    size = millimetres(whole_sheet(score).staff_size)
    page = (page_defaults(score.header, size), *credits_of(score.header, size))
    head = [*titles(score.header, found, number), *page, *legend(score)]
    part_list = root.find("part-list")
    finish_part_list(part_list, score, found)
    for element in (*head, part_list):
        ElementTree.indent(element)
        element.tail = "\n"
    root.text = "\n"
    root[:] = [*head, part_list, *parts]
    return (_PROLOGUE + ElementTree.tostring(root, encoding="unicode") + "\n").encode()


def _find(score: WrittenScore, name: str) -> tuple[int, WrittenMovement]:
    for number, movement in enumerate(score.movements, 1):
        if movement.name == name:
            return number, movement
    raise KeyError(name)


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
