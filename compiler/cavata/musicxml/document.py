"""MusicXML 4.0 from written bars, by music21.

In: the written score and the name of a movement. Out: the bytes of one document, made of this movement alone and of
what holds for the whole, so that no change of another movement changes them. Nothing is decided here: music21
exports without making notation, and its element tree is completed with what it cannot say: among it paper, margins and
the height of the staves, which are those of the printed page. The bytes are the same in every process and on every
Python; notes and measures have ids by what the script calls things (`ids`), so that a preview can lead back to them.
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

from cavata.musicxml.finish import finish_part, number_measures
from cavata.musicxml.header import finish_part_list
from cavata.musicxml.ids import with_ids
from cavata.musicxml.page import beginning, on_lines
from cavata.musicxml.score import music21_score, opened
from cavata.musicxml.single import Single, single
from cavata.musicxml.staves import Staves
from cavata.notate.written import WrittenMovement, WrittenScore

_EXPORTING = Lock()


def musicxml_bytes(score: WrittenScore, movement: str, staves: Staves | None = None) -> bytes:
    """One movement or cadenza as a MusicXML document in UTF-8. Every part is there, silent ones too.

    With `staves` it has just these, silent where they have nothing in this movement. Raises KeyError if the score has
    no movement of that name.
    """
    made_of = single(score, movement, staves)
    return with_ids(document(made_of), made_of.score.movements[0])


def document(made_of: Single) -> bytes:
    """A movement as a document in which places stand for ids."""
    with _collector_at_rest():
        return by_places(made_of.score, made_of.score.movements[0], made_of.number)


def by_places(score: WrittenScore, found: WrittenMovement, number: int) -> bytes:
    """The document in which places stand for ids: it depends on nothing of the script but what is written."""
    divisions = _divisions(found)
    with _music21_counting(divisions):
        result = music21_score(score, found)
        root = ScoreExporter(result.score, makeNotation=False).parse()
    parts = root.findall("part")
    for index, (element, part) in enumerate(zip(parts, found.parts, strict=True)):
        finish_part(element, part, found, result.lines, divisions, index == 0, score.header.concert_score)
    number_measures(parts[0], score.header.proof)
    part_list = root.find("part-list")
    finish_part_list(part_list, score, found)
    music = "".join(ElementTree.tostring(part, encoding="unicode") for part in parts)
    return f"{beginning(score, found, number)}{on_lines(part_list)}{music}</score-partwise>\n".encode()


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
