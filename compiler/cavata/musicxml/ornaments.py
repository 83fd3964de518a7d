"""Ornaments, techniques and grace notes in MusicXML.

In: written leaves. Out: what music21 writes itself (signs, tremolo strokes, the arpeggio sign, grace notes, words), and
elements added to the finished document: glissandi, the pedal, and the accidental at a trill.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from music21 import beam, chord, duration, expressions

from cavata.music.ornament import PRINTED
from cavata.musicxml.lines import Lines
from cavata.notate.written import Leaf, WrittenHead

_SIGNS: dict[str, type[Any]] = {
    "trill": expressions.Trill,
    "turn": expressions.Turn,
    "mordent": expressions.Mordent,
    "rolled": expressions.ArpeggioMark,
}
_ACCIDENTALS = {"double flat": "flat-flat", "double sharp": "double-sharp"}
"""Accidentals by the names of `accidental-value` in MusicXML 4.0, where ours are other ones."""


def signs(leaf: Leaf) -> Iterator[Any]:
    """The signs at a note as music21 expressions."""
    for ornament in leaf.marks.ornaments:
        if ornament.kind in _SIGNS:
            yield _SIGNS[ornament.kind]()
    if leaf.strokes:
        tremolo = expressions.Tremolo()
        tremolo.numberOfMarks = leaf.strokes
        yield tremolo


def technique_words(leaf: Leaf) -> str:
    """The techniques that begin at a leaf, as they are printed."""
    return ", ".join(PRINTED[word] for word in leaf.marks.techniques)


def grace_notes(leaf: Leaf, head: Callable[[WrittenHead, Any, str], Any], identifier: str) -> Iterator[Any]:
    """The grace notes before a leaf: one is a slashed eighth, several are sixteenths under a beam.

    Their ids have `g1`, `g2` ... after that of their leaf.
    """
    count = len(leaf.graces)
    length = duration.Duration(type="eighth" if count == 1 else "16th")
    for place, grace in enumerate(leaf.graces):
        own = f"{identifier}g{place + 1}"
        heads = [head(each, length, own if n == 0 else f"{own}h{n + 1}") for n, each in enumerate(grace)]
        made = (heads[0] if len(heads) == 1 else chord.Chord(heads, duration=length)).getGrace()
        for original, copied in zip(heads, made.notes if len(heads) > 1 else (made,), strict=True):
            copied.id = original.id
        made.duration.slash = count == 1
        if count > 1:
            made.beams = _beam("start" if place == 0 else "stop" if place == count - 1 else "continue")
        yield made


def _beam(kind: str) -> Any:
    made = beam.Beams()
    for number in (1, 2):
        made.beamsList.append(beam.Beam(type=kind, number=number))
    return made


# ------------------------------------------------------------------ in the finished document


def finish_signs(note: Element, found: Lines) -> None:
    """Write the accidental at a trill, and the ends of glissandi."""
    if found.trill:
        for ornaments in note.iter("ornaments"):
            place = next(index for index, child in enumerate(ornaments) if child.tag == "trill-mark")
            mark = Element("accidental-mark", placement="above")
            mark.text = _ACCIDENTALS.get(found.trill, found.trill)
            ornaments.insert(place + 1, mark)
    for kind, there in (("stop", found.glide_ends), ("start", found.glide_begins)):
        if there:
            line = {"type": kind, "number": str(found.number), "line-type": "solid"}
            SubElement(notations_of(note), "glissando", line)


def notations_of(note: Element) -> Element:
    """The notations of a note, which stand before its lyrics."""
    notations = note.find("notations")
    if notations is None:
        notations = Element("notations")
        note.insert(next((i for i, child in enumerate(note) if child.tag == "lyric"), len(note)), notations)
    return notations


def pedal(kind: str, lines: Lines) -> Element:
    """The pedal sign: `start` or `stop`."""
    direction = Element("direction", placement="below")
    SubElement(SubElement(direction, "direction-type"), "pedal", type=kind, sign="yes", line="no")
    if lines.staff:
        SubElement(direction, "staff").text = str(lines.staff)
    return direction
