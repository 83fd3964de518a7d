"""What the exporter leaves out of a part, and what it must not say, put right in its element tree.

In: the `part` elements as exported, in score order, and the written movement. Out: the same elements with slurs,
hairpins, hidden tempi, grouped metres, courtesy accidentals, bar numbers and voices as the written movement has them.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.musicxml.cues import gather_rests, mark_cues
from cavata.musicxml.directions import (
    octave_shift,
    ottavas_before,
    place_attacca,
    place_frame,
    reached,
    wedge,
    wedges_before,
)
from cavata.musicxml.lines import VOICES_PER_STAFF, Lines
from cavata.musicxml.ornaments import finish_signs, notations_of, pedal
from cavata.musicxml.percussion import name_strikers, staff_lines
from cavata.musicxml.repeats import place_repeats
from cavata.musicxml.taken_up import take_up
from cavata.musicxml.words import add_words, harmony
from cavata.notate.written import Frame, WrittenMovement, WrittenPart

_AFTER_VOICE = frozenset(
    ("type", "dot", "accidental", "time-modification", "stem", "notehead", "staff", "beam", "notations", "lyric")
)


def finish_part(
    root: Element, part: WrittenPart, movement: WrittenMovement, lines: dict[str, Lines], divisions: int, first: bool,
    concert: bool,
) -> None:
    """Put one part right. `first` is for the part that carries what stands above the whole score."""
    measures = [child for child in root if child.tag == "measure"]
    add_words(root, lines)
    for place, (measure, frame) in enumerate(zip(measures, movement.frames, strict=True)):
        measure.set("number", str(frame.number))
        measure.set("implicit", "yes" if frame.pickup or frame.meter is None else "no")
        several = any(
            len([v for v in staff.bars[place].voices if v]) > 1 or staff.bars[place].cue for staff in part.staves
        )
        _notes(measure, lines, len(part.staves) > 1, several, int(frame.duration * 4 * divisions))
        _attributes(measure, frame, part)
        take_up(measure, part, place, root.get("id", ""), concert)
        mark_cues(measure, part, place)
        gather_rests(measure, part, place)
        if first:
            place_frame(measure, frame, divisions)
        place_repeats(measure, frame, place == 0, first)
    if first and movement.attacca:
        place_attacca(measures[-1])
    name_strikers(root, part.part)
    root[:] = measures
    root.text = root.tail = "\n"
    for measure in measures:
        measure.text = measure.tail = "\n"
        for child in measure:
            child.tail = "\n"


def _notes(measure: Element, lines: dict[str, Lines], two_staves: bool, several: bool, bar: int) -> None:
    changed: list[Element] = []
    after: list[Element] = []
    for child in measure:
        if child.tag == "note":
            identifier = child.get("id", "")
            child.attrib.pop("color", None)  # only the head is coloured, not its stem
            if after and child.find("chord") is None:
                changed += after
                after = []
            found = lines.get(identifier)
            if found is not None:
                changed += ottavas_before(found)
                changed += wedges_before(found)
                changed += [pedal("start", found)] if found.pedal_begins else []
                changed += [harmony(found.symbol, found.staff)] if found.symbol else []
                _slurs(child, found)
                finish_signs(child, found)
                if found.hairpin_ends_after:
                    after = [wedge("stop", found), *([reached(found)] if found.goal else [])]
                after += [octave_shift("stop", found)] if found.ottava_ends_after else []
                after += [pedal("stop", found)] if found.pedal_ends else []
            if two_staves or several:
                _voice(child, identifier)
            accidental = child.find("accidental")
            if accidental is not None and accidental.get("parentheses"):
                accidental.set("cautionary", "yes")
        elif child.tag == "forward":
            continue
        elif child.tag == "direction":
            for offset in child.findall("offset"):
                child.remove(offset)
        elif child.tag == "backup":
            changed += after
            after = []
            child[0].text = str(bar)
        elif child.tag == "barline":
            changed += after
            after = []
        changed.append(child)
    measure[:] = changed + after


def _voice(note: Element, identifier: str) -> None:
    """Number the voice by the note's place: `p1s2b3v1n4` is the fifth of its part."""
    staff, rest = identifier.partition("s")[2].split("b")
    number = str(VOICES_PER_STAFF * (int(staff) - 1) + int(rest.partition("v")[2].partition("n")[0]))
    voice = note.find("voice")
    if voice is None:
        voice = Element("voice")
        note.insert(next((i for i, child in enumerate(note) if child.tag in _AFTER_VOICE), len(note)), voice)
    voice.text = number


def _slurs(note: Element, found: Lines) -> None:
    kinds = ["stop"] * found.slur_ends + ["start"] * found.slur_begins
    if not kinds:
        return
    for kind in kinds:
        SubElement(notations_of(note), "slur", type=kind, number=str(found.number))


def _attributes(measure: Element, frame: Frame, part: WrittenPart) -> None:
    for attributes in measure.findall("attributes"):
        for clef in attributes.findall("clef") if len(part.staves) > 1 else ():
            clef.set("number", clef.get("number", "1"))  # the first by default, but some readers take it for all staves
        for key in attributes.findall("key"):
            if frame.key is not None:
                SubElement(key, "mode").text = frame.key.name
        if frame.meter is not None and frame.meter.as_given:
            for beats in attributes.iterfind("time/beats"):
                beats.text = "+".join(str(group) for group in frame.meter.groups)
        divisions = attributes.find("divisions")
        if divisions is not None and part.part.instrument.unpitched:
            staff_lines(attributes, part.part)
