"""An ossia in MusicXML: a staff of its own above a part's staff, of the type that the format has for it.

In: a written movement; then a measure as exported. Out: the movement with the small staves among those of each part, so
that they are numbered as they stand, and in a document of the whole piece the same staves in each movement; the measure
with the staff there or hidden. Its notes are cues, which are silent. Source: MusicXML 4.0, `staff-type`,
`staff-details` and `cue`.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from cavata.musicxml.leaf import make_cue
from cavata.notate.written import WrittenBar, WrittenMovement, WrittenPart, WrittenScore, WrittenStaff
from cavata.record import replace

_PERCENT = "67"
"""How large the staff is beside others."""


StaffName = tuple[str, bool]
"""What an instrument calls a staff, and whether it is the small one above that."""
Staves = tuple[tuple[StaffName, ...], ...]
"""The staves of every part, from the top."""


def staves_of(movement: WrittenMovement) -> Staves:
    """Those of a movement, with the small ones of its ossias."""
    return tuple(tuple(_names(part)) for part in movement.parts)


def staves_in_all(score: WrittenScore) -> Staves:
    """Those that the parts have in any movement."""
    found = []
    for number in range(len(score.movements[0].parts)):
        parts = [movement.parts[number] for movement in score.movements]
        known = {name for part in parts for name in _names(part)}
        longest = max(parts, key=lambda part: len(part.staves))
        order = ((name, small) for name in _own_names(longest) for small in (True, False))
        found.append(tuple(name for name in order if name in known))
    return tuple(found)


def with_staves(movement: WrittenMovement, wanted: Staves | None = None) -> WrittenMovement:
    """The movement with the small staves of its ossias, or with just the staves that are `wanted`; those that it does
    not have are silent."""
    wanted = staves_of(movement) if wanted is None else wanted
    parts = tuple(
        part if len(names) == len(part.staves) else replace(part, staves=tuple(_staves(part, names)))
        for part, names in zip(movement.parts, wanted, strict=True)
    )
    unchanged = all(part is before for part, before in zip(parts, movement.parts, strict=True))
    return movement if unchanged else replace(movement, parts=parts)


def _own_names(part: WrittenPart) -> tuple[str, ...]:
    return part.part.instrument.standing(len(part.staves)) if len(part.staves) > 1 else ("",)


def _names(part: WrittenPart) -> Iterator[StaffName]:
    for name, staff in zip(_own_names(part), part.staves, strict=True):
        if staff.has_ossia:
            yield name, True
        yield name, False


def _staves(part: WrittenPart, names: tuple[StaffName, ...]) -> Iterator[WrittenStaff]:
    own = dict(zip(_own_names(part), part.staves, strict=True))
    for name, small in names:
        staff = own.get(name) or _silent_staff(part, name)
        yield staff.as_ossia if small else staff


def _silent_staff(part: WrittenPart, name: str) -> WrittenStaff:
    """A staff that is there only in other movements."""
    instrument = part.part.instrument
    bars = (WrittenBar(((),), bar.key, rest_bars=bar.rest_bars) for bar in part.staves[0].bars)
    clef = instrument.clefs[min(instrument.staves.index(name), len(instrument.clefs) - 1)]
    return WrittenStaff(clef, tuple(bars))


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
