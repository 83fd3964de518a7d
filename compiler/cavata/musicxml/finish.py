"""What the exporter leaves out of a part, and what it must not say, put right in its element tree.

In: the `part` elements as exported, in score order, and the written movement. Out: the same elements with slurs,
hairpins, hidden tempi, grouped meters, courtesy accidentals, bar numbers and voices as the written movement has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement

from cavata.instruments.instrument import PEDAL
from cavata.music.pitch import LETTERS, Pitch
from cavata.musicxml.directions import (
    end_of_label,
    free_meter,
    octave_shift,
    ottavas_before,
    place_attacca,
    place_frame,
    place_pedals,
    place_repeats,
    reached_dynamic,
    string_label,
    techniques,
    wedge,
    wedges_before,
)
from cavata.musicxml.ids import measure_place
from cavata.musicxml.leaf import finish_signs, make_cue, make_small, notations_of, pedal, ring_on
from cavata.musicxml.lines import VOICES_PER_STAFF, LineEnds, add_words, figured_bass, harmony, label
from cavata.musicxml.ossia import has_ossia, mark_ossias
from cavata.musicxml.percussion import name_strikers, staff_lines
from cavata.notate.transposition import written_interval
from cavata.notate.written import Frame, WrittenMovement, WrittenPart

# ----------------------------------------------------------------
# Cues and rests of several bars in a part's document, which the exporter cannot write.
#
# In: a measure's element and the written bars it stands for. Out: the same measure: the notes of a cue marked as such,
# small and without `tie`, which MusicXML keeps for what sounds; a `multiple-rest` where a rest of several bars begins.


def mark_cues(measure: Element, part: WrittenPart, place: int) -> None:
    """Make the notes of a cue small and silent."""
    for number, staff in enumerate(part.staves, start=1):
        bar = staff.bars[place]
        if bar.cue:
            start = f"p1s{number}b{place + 1}v{len(bar.voices) + 1}n"
            for note in measure.iter("note"):
                if note.get("id", "").startswith(start):
                    make_cue(note)


def gather_rests(measure: Element, part: WrittenPart, place: int) -> None:
    """Say how many bars the rest stands for that begins here."""
    count = part.staves[0].bars[place].rest_bars
    if count < 2:
        return
    found = measure.findall("attributes")
    style = SubElement(found[-1] if found else _new_attributes(measure), "measure-style")
    SubElement(style, "multiple-rest").text = str(count)


def _new_attributes(measure: Element) -> Element:
    made = Element("attributes")
    measure.insert(next((i for i, child in enumerate(measure) if child.tag != "print"), len(measure)), made)
    return made


# ----------------------------------------------------------------
# Another instrument in a player's hand, as MusicXML says it.
#
# In: the measure as exported, and the written part. Out: the measure with the transposition and the sound that hold
# from
# there on. The words are directions like others.


def take_up(measure: Element, part: WrittenPart, place: int, part_id: str, concert: bool) -> None:
    """Tell a measure which instrument is in hand from there on, if it is another one than before."""
    instrument = part.staves[0].bars[place].instrument
    if instrument is None:
        return
    attributes = measure.find("attributes")
    if attributes is None:
        attributes = _new_attributes(measure)
    for old in attributes.findall("transpose"):
        attributes.remove(old)
    sounding = -written_interval(instrument, concert)
    octaves = int(sounding.semitones / 12)
    transpose = SubElement(attributes, "transpose")
    SubElement(transpose, "diatonic").text = str(sounding.steps - 7 * octaves)
    SubElement(transpose, "chromatic").text = str(sounding.semitones - 12 * octaves)
    if octaves:
        SubElement(transpose, "octave-change").text = str(octaves)
    sound = Element("sound")
    player = SubElement(sound, "midi-instrument", id=f"{part_id}-I1")
    SubElement(player, "midi-program").text = str(instrument.program + 1)
    measure.insert(list(measure).index(attributes) + 1, sound)


# ----------------------------------------------------------------

_DIVISIONS = {"quarter": "tick", "half": "short", "full": "regular", "double": "light-light"}
"""Divisions of chant by the values of `bar-style` in MusicXML 4.0: `tick` is a stroke through the top line, `short` one
between the second line and the fourth."""
_AFTER_VOICE = frozenset(
    ("type", "dot", "accidental", "time-modification", "stem", "notehead", "staff", "beam", "notations", "lyric")
)


def finish_part(
    root: Element, part: WrittenPart, movement: WrittenMovement, lines: dict[str, LineEnds], divisions: int,
    first: bool, concert: bool,
) -> None:
    """Put one part right. `first` is for the part that carries what stands above the whole score."""
    measures = [child for child in root if child.tag == "measure"]
    add_words(root, lines)
    numbers = measure_numbers(movement.frames)
    for place, (measure, frame) in enumerate(zip(measures, movement.frames, strict=True)):
        measure.set("id", measure_place(int(root.get("id", "P1")[1:]), place + 1))
        measure.set("number", numbers[place])
        measure.set("implicit", "yes" if frame.pickup or frame.meter is None else "no")
        length = int(frame.duration * 4 * divisions)
        _notes(measure, lines, under_the_brace(part), len(part.staves) > 1, length, divisions)
        _attributes(measure, frame, part)
        if place and frame.meter is None:
            for attributes in measure.iterfind("attributes"):
                attributes[:] = [free_meter(frame) if child.tag == "time" else child for child in attributes]
        take_up(measure, part, place, root.get("id", ""), concert)
        for sign in measure.iter("arpeggiate") if part.rolls_across else ():
            sign.set("number", "1")  # those of one moment and number are one
        place_pedals(measure, part, place, divisions)
        if place == 0 and part.part.instrument.usual_strings:
            _tell_tuning(measure, part.part.instrument.strings)
        mark_cues(measure, part, place)
        if has_ossia(part):
            mark_ossias(measure, part, place)
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


def number_measures(root: Element, each: bool) -> None:
    """Say of the first part, for all, where bars are numbered: at each, or at the beginning of each system."""
    made = Element("print")
    SubElement(made, "measure-numbering").text = "measure" if each else "system"
    made.tail = "\n"
    root[0].insert(0, made)


def _tell_tuning(measure: Element, strings: tuple[Pitch, ...]) -> None:
    """The open strings of a scordatura as they sound; MusicXML counts them from the highest."""
    direction = Element("direction")
    scordatura = SubElement(SubElement(direction, "direction-type"), "scordatura")
    for number, string in enumerate(reversed(strings), start=1):
        accord = SubElement(scordatura, "accord", string=str(number))
        SubElement(accord, "tuning-step").text = LETTERS[string.letter]
        if string.alter:
            SubElement(accord, "tuning-alter").text = str(string.alter)
        SubElement(accord, "tuning-octave").text = str(string.octave)
    head = [place for place, child in enumerate(measure) if child.tag in ("print", "attributes")]
    measure.insert(max(head) + 1, direction)


def measure_numbers(frames: Sequence[Frame]) -> tuple[str, ...]:
    """The number of each measure; what comes after a sign that divides a bar has one of its own, as `X1`.

    Source: MusicXML 4.0, attributes `number` and `implicit` of `measure`.
    """
    found: list[str] = []
    divided = 0
    for frame, before in zip(frames, (None, *frames), strict=False):
        goes_on = before is not None and frame.pickup and frame.number == before.number
        divided += goes_on
        found.append(f"X{divided}" if goes_on else str(frame.number))
    return tuple(found)


def _notes(
    measure: Element, lines: dict[str, LineEnds], staves: int, lower: bool, bar: int, divisions: int
) -> None:
    """`lower`: the part has lower staves, those under an ossia included, whose voices have numbers of their own."""
    changed: list[Element] = []
    after: list[Element] = []
    rings = small = False
    graces: int | None = None
    for child in measure:
        if child.tag == "note":
            identifier = child.get("id", "")
            child.attrib.pop("color", None)  # only the head is colored, not its stem
            if after and child.find("chord") is None:
                changed += after
                after = []
            found = lines.get(identifier)
            if child.find("chord") is None:
                rings, small = found is not None and found.rings_on, found is not None and found.optional
            elif rings:
                ring_on(child)
            if small:
                make_small(child)
            if child.find("grace") is not None:
                graces = len(changed) if graces is None else graces
            elif child.find("chord") is None:
                first, graces = len(changed) if graces is None else graces, None
                changed[first:first] = ottavas_before(found) if found is not None else ()
            if found is not None:
                changed += wedges_before(found)
                changed += [pedal("start", found, staves)] if found.pedal_begins else []
                changed += techniques(found)
                changed += [harmony(found.symbol, found.staff)] if found.symbol else []
                changed += figured_bass(found, divisions)
                changed += [label(found)] if found.label else []
                changed += [string_label(found)] if found.string_label else []
                _slurs(child, found)
                finish_signs(child, found)
                if found.hairpin_ends_after:
                    after = [wedge("stop", found), *([reached_dynamic(found)] if found.goal else [])]
                after += [end_of_label(found)] if found.label_ends else []
                after += [octave_shift("stop", found)] if found.ottava_ends_after else []
                after += [pedal("stop", found, staves)] if found.pedal_ends else []
                after += [_division(found.division)] if found.division else []
            if lower:
                _voice(child, identifier)
            accidental = child.find("accidental")
            if accidental is not None and accidental.get("parentheses"):
                accidental.set("cautionary", "yes")
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


def _division(kind: str) -> Element:
    """A division of chant as a bar line within a measure."""
    made = Element("barline", location="middle")
    SubElement(made, "bar-style").text = _DIVISIONS[kind]
    return made


def _voice(note: Element, identifier: str) -> None:
    """Number the voice by the note's place: `p1s2b3v1n4` is the fifth of its part."""
    staff, rest = identifier.partition("s")[2].split("b")
    number = str(VOICES_PER_STAFF * (int(staff) - 1) + int(rest.partition("v")[2].partition("n")[0]))
    voice = note.find("voice")
    if voice is None:
        voice = Element("voice")
        note.insert(next((i for i, child in enumerate(note) if child.tag in _AFTER_VOICE), len(note)), voice)
    voice.text = number


def _slurs(note: Element, found: LineEnds) -> None:
    kinds = ["stop"] * found.slur_ends + ["start"] * found.slur_begins
    if not kinds:
        return
    for kind in kinds:
        made = SubElement(notations_of(note), "slur", type=kind, number=str(found.number))
        if kind == "start" and found.slur_dashed:
            made.set("line-type", "dashed")


def under_the_brace(part: WrittenPart) -> int:
    """How many staves of a part one brace holds: all but an organ's pedal."""
    return sum(not staff.is_ossia for staff in part.staves) - has_pedal_staff(part)


def has_pedal_staff(part: WrittenPart) -> bool:
    """Whether its lowest staff is for an organist's feet."""
    return PEDAL in part.part.instrument.standing(sum(not staff.is_ossia for staff in part.staves))


def _attributes(measure: Element, frame: Frame, part: WrittenPart) -> None:
    braced = under_the_brace(part)
    for attributes in measure.findall("attributes"):
        staves = attributes.find("staves")
        if staves is not None and braced < len(part.staves):
            last = len(part.staves) - has_pedal_staff(part)
            top = 1 + part.staves[0].is_ossia
            symbol = Element("part-symbol", {} if braced == 1 else {"top-staff": str(top), "bottom-staff": str(last)})
            symbol.text = "none" if braced == 1 else "brace"
            attributes.insert(list(attributes).index(staves) + 1, symbol)
        for clef in attributes.findall("clef") if len(part.staves) > 1 else ():
            clef.set("number", clef.get("number", "1"))  # the first by default, but some readers take it for all staves
        for key in attributes.findall("key"):
            if frame.key is not None:
                SubElement(key, "mode").text = frame.key.name
        if frame.meter is not None and frame.meter.sign:
            for time in attributes.findall("time"):
                time.set("symbol", frame.meter.sign)
        if frame.meter is not None and frame.meter.as_given:
            for beats in attributes.iterfind("time/beats"):
                beats.text = "+".join(str(group) for group in frame.meter.groups)
        divisions = attributes.find("divisions")
        if divisions is not None and part.part.instrument.unpitched:
            staff_lines(attributes, part.part)
