"""An ossia in MusicXML: a staff of its own above a part's staff, of the type that the format has for it.

In: a measure as exported. Out: the measure with the staff there or hidden. Its notes are cues, which are silent.
Source: MusicXML 4.0, `staff-type`, `staff-details` and `cue`.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.musicxml.leaf import make_cue
from cavata.notate.written import WrittenPart, WrittenStaff

_PERCENT = "67"
"""How large the staff is beside others."""


def has_ossia(part: WrittenPart) -> bool:
    """Whether a part has a small staff."""
    return any(staff.is_ossia for staff in part.staves)


def mark_ossias(measure: Element, part: WrittenPart, place: int) -> None:
    """Say of each small staff that it is one, and whether it is there; what is on it does not sound."""
    for number, staff in enumerate(part.staves, 1):
        if not staff.is_ossia:
            continue
        there = _is_there(staff, place)
        for note in measure.iter("note"):
            if note.findtext("staff") == str(number):
                if not there:
                    note.set("print-object", "no")
                elif note.find("rest") is None:
                    make_cue(note)
        if place == 0 or there != _is_there(staff, place - 1):
            _tell(_attributes(measure), part, number, there, place == 0)
    for attributes in measure.findall("attributes"):
        for clef in attributes.findall("clef"):
            if part.staves[int(clef.get("number", "1")) - 1].is_ossia:
                clef.set("print-object", "no")
            line = clef.find("line")
            if line is not None and not line.text:  # as music21 has it for percussion on one of several staves
                clef.remove(line)


def _is_there(staff: WrittenStaff, place: int) -> bool:
    return any(staff.bars[place].voices)


def _attributes(measure: Element) -> Element:
    """The attributes at the beginning of a measure."""
    for place, child in enumerate(measure):
        if child.tag == "attributes":
            return child
        if child.tag != "print":
            made = Element("attributes")
            measure.insert(place, made)
            return made
    return SubElement(measure, "attributes")


def _tell(attributes: Element, part: WrittenPart, number: int, there: bool, first: bool) -> None:
    details = Element("staff-details", {"number": str(number), "print-object": "yes" if there else "no"})
    others = attributes.findall("staff-details")
    if first:
        SubElement(details, "staff-type").text = "ossia"
        if part.part.instrument.unpitched:
            SubElement(details, "staff-lines").text = str(part.part.percussion_lines)
        SubElement(details, "staff-size").text = _PERCENT
        for other in others:  # the lines of an unpitched part, said of all its staves
            other.set("number", other.get("number", str(number + 1)))
    after = ("transpose", "directive", "measure-style")
    places = [place for place, child in enumerate(attributes) if child.tag in after]
    attributes.insert(places[0] if places else len(attributes), details)
