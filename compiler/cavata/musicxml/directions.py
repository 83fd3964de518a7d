"""What stands above and between the staves: letters, titles, tempi, hairpins, `attacca`.

In: frames and lines. Out: `direction` and `sound` elements, and their place in a measure. Offsets are exact: the
exporter's own are cut from floats, and may miss by one.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from cavata.instruments.harp_pedals import PEDALS
from cavata.music.event import BASE_HAIRPINS, FROM_NOTHING, MUTES
from cavata.music.lengths import is_plain
from cavata.music.pitch import LETTERS
from cavata.musicxml.lines import HIGHEST_NUMBER, PLAYED, LineEnds
from cavata.notate.written import FormWords, Frame, WrittenPart, note_value
from cavata.score.score import FINE, TO_CODA, Tempo
from cavata.text import plain_text

NOTE_TYPES: dict[Fraction, str] = {
    Fraction(2): "breve",
    Fraction(1): "whole",
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(1, 8): "eighth",
    **{Fraction(1, n): f"{n}{'nd' if n == 32 else 'th'}" for n in (16, 32, 64, 128, 256, 512, 1024)},
}
"""Note values by the names of `note-type-value` in MusicXML 4.0."""


def place_frame(measure: Element, frame: Frame, divisions: int) -> None:
    """Put letter, title and tempi of a bar where they belong among its notes."""
    start = next((i for i, child in enumerate(measure) if child.tag not in ("print", "attributes")), len(measure))
    paces = dict(frame.paces)
    marks = {offset: _tempo(mark, paces.get(offset, mark.seconds_per_whole)) for offset, mark in frame.tempi}
    for offset, begins in frame.dashes:
        if begins and offset in marks:
            at = next(place for place, child in enumerate(marks[offset]) if child.tag == "direction-type") + 1
            marks[offset].insert(at, _dashes("start"))
    unseen = {offset: Element("sound", tempo=_quarters(pace)) for offset, pace in frame.paces if offset not in marks}
    opening = [*_opening(frame), *(made[Fraction(0)] for made in (marks, unseen) if Fraction(0) in made)]
    for offset in (offset for offset, begins in frame.dashes if not begins):
        end = Element("direction", placement="above")
        end.append(_dashes("stop"))
        if offset:
            _place(measure, end, int(offset * 4 * divisions))
        else:
            opening.insert(0, end)
    measure[start:start] = opening
    for offset, made in sorted((marks | unseen).items()):
        if offset:
            _place(measure, made, int(offset * 4 * divisions))


def _dashes(kind: str) -> Element:
    """An end of the dashed line after the words of a change of tempo: `start` or `stop`."""
    made = Element("direction-type")
    SubElement(made, "dashes", type=kind, number=str(HIGHEST_NUMBER))
    return made


def _place(measure: Element, element: Element, onset: int) -> None:
    """Before the first note of the first voice that does not begin earlier, at its exact time."""
    now, place = 0, len(measure)
    for index, child in enumerate(measure):
        if child.tag == "note" and child.find("chord") is None:
            if now >= onset:
                place = index
                break
            now += int(child.findtext("duration", "0"))
        elif child.tag == "backup" or (child.tag == "barline" and child.get("location") != "middle"):
            place = index
            break
    if now != onset:
        offset = Element("offset")
        offset.text = str(onset - now)
        types = len(element.findall("direction-type"))
        element.insert(types, offset)
    measure.insert(place, element)


def place_pedals(measure: Element, part: WrittenPart, place: int, divisions: int) -> None:
    """Put what is said of a harp's pedals where it belongs, under the lower staff; of a change only what is moved."""
    start = next((i for i, child in enumerate(measure) if child.tag not in ("print", "attributes")), len(measure))
    opening = []
    for sign in part.staves[0].bars[place].pedals:
        made = Element("direction", placement="below")
        told = SubElement(SubElement(made, "direction-type"), "harp-pedals")
        setting = dict(enumerate(sign.setting)) if sign.setting is not None else {m[0]: m[1] for m in sign.moved}
        for letter in map(LETTERS.index, PEDALS):
            if letter in setting:
                tuning = SubElement(told, "pedal-tuning")
                SubElement(tuning, "pedal-step").text = LETTERS[letter]
                SubElement(tuning, "pedal-alter").text = str(setting[letter])
        if len(part.staves) > 1:
            SubElement(made, "staff").text = str(len(part.staves))
        if sign.offset:
            _place(measure, made, int(sign.offset * 4 * divisions))
        else:
            opening.append(made)
    measure[start:start] = opening


def _opening(frame: Frame) -> Iterator[Element]:
    for sign in frame.opens:
        made = Element("direction", placement="above")
        SubElement(SubElement(made, "direction-type"), sign)
        SubElement(made, "sound", {sign: sign})
        yield made
    if frame.rehearsal:
        yield direction("rehearsal", frame.rehearsal)
    if frame.section:
        yield direction("words", frame.section, "bold")


def _quarters(seconds_of_a_whole: Fraction) -> str:
    """A speed as quarters a minute."""
    return decimal(240 / seconds_of_a_whole)


def _tempo(mark: Tempo, pace: Fraction) -> Element:
    """A metronome mark after its words, and how fast it sounds from there on, as seconds of a whole note.

    A beat that is no single note value is counted in quarters.
    """
    quarters = _quarters(pace)
    if not mark.printed:
        return Element("sound", tempo=quarters)
    if not mark.metronome:
        weight, style = ("", "italic") if mark.until is not None else ("bold", "")
        made = direction("words", mark.words, weight, style)
        SubElement(made, "sound", tempo=quarters)
        return made
    made = direction("words", mark.words, "bold") if mark.words else Element("direction", placement="above")
    metronome = SubElement(SubElement(made, "direction-type"), "metronome", parentheses="no")
    if mark.equals is not None:
        _beat(metronome, mark.equals)
        _beat(metronome, mark.beat)
        SubElement(made, "sound", tempo=quarters)
        return made
    base, dots = _beat(metronome, mark.beat)
    rate = mark.per_minute * mark.beat / (base * (2 - Fraction(1, 2**dots)))
    SubElement(metronome, "per-minute").text = decimal(rate)
    SubElement(made, "sound", tempo=quarters)
    return made


def _beat(metronome: Element, beat: Fraction) -> tuple[Fraction, int]:
    """Put a note value into a metronome mark; its undotted value and its dots."""
    base, dots = _beat_unit(beat)
    SubElement(metronome, "beat-unit").text = NOTE_TYPES[base]
    for _ in range(dots):
        SubElement(metronome, "beat-unit-dot")
    return base, dots


def _beat_unit(beat: Fraction) -> tuple[Fraction, int]:
    """The beat as an undotted value and its dots, two at most; quarters where no single note is so long."""
    value = note_value(beat.numerator, beat.denominator)
    return value if value is not None and value[0] in NOTE_TYPES else (Fraction(1, 4), 0)


def free_meter(frame: Frame) -> Element:
    """Where free time begins after measured time: a signature that is not seen, of the length of the bar.

    At the beginning of a document `senza-misura` says it; later it makes Verovio 6 divide by nothing, and the process
    ends.
    """
    beats, unit = frame.duration.as_integer_ratio()
    if not is_plain(frame.duration):
        beats, unit = 4, 4
    scale = max(1, 4 // unit)
    made = Element("time", {"print-object": "no"})
    SubElement(made, "beats").text = str(beats * scale)
    SubElement(made, "beat-type").text = str(unit * scale)
    return made


def place_attacca(measure: Element) -> None:
    """At the end of the last bar."""
    ends = (i for i, child in enumerate(measure) if child.tag == "barline" and child.get("location") != "middle")
    barline = next(ends, len(measure))
    measure.insert(barline, direction("words", "attacca", style="italic"))


def wedges_before(lines: LineEnds) -> Iterator[Element]:
    """The hairpin that ends before a note, and the one that begins."""
    if lines.hairpin_ends:
        yield wedge("stop", lines)
    if lines.hairpin:
        yield wedge(lines.hairpin, lines)


def wedge(kind: str, lines: LineEnds) -> Element:
    """An end of a hairpin: one of BASE_HAIRPINS, or `stop`; a circle stands at its narrow end."""
    direction = Element("direction", placement="above" if lines.above else "below")
    made = SubElement(SubElement(direction, "direction-type"), "wedge", type=BASE_HAIRPINS.get(kind, kind))
    made.set("number", str(lines.number))
    if kind == FROM_NOTHING or (kind == "stop" and lines.dies_away):
        made.set("niente", "yes")
    return on_staff(direction, lines)


def ottavas_before(lines: LineEnds) -> Iterator[Element]:
    """The octave bracket that ends before a note, and the one that begins. Its notes sound as they are given, so they
    are shown lower under `8va`: the type is `down`."""
    if lines.ottava_ends:
        yield octave_shift("stop", lines)
    if lines.ottava:
        yield octave_shift("down" if lines.ottava > 0 else "up", lines)


def octave_shift(kind: str, lines: LineEnds) -> Element:
    """An end of an octave bracket: `down`, `up` or `stop`."""
    direction = Element("direction", placement="below" if kind == "up" else "above")
    shift = SubElement(SubElement(direction, "direction-type"), "octave-shift", type=kind, size="8")
    shift.set("number", str(lines.number))
    return on_staff(direction, lines)


def string_label(lines: LineEnds) -> Element:
    """The words over the first note on a string, with the beginning of a dashed line where more notes follow on it."""
    made = direction("words", lines.string_label, style="italic")
    if lines.label_lasts:
        SubElement(SubElement(made, "direction-type"), "dashes", type="start", number=str(lines.number))
    return on_staff(made, lines)


def end_of_label(lines: LineEnds) -> Element:
    """The end of that dashed line."""
    made = Element("direction", placement="above")
    SubElement(SubElement(made, "direction-type"), "dashes", type="stop", number=str(lines.number))
    return on_staff(made, lines)


def reached_dynamic(lines: LineEnds) -> Element:
    """The dynamic at the end of a hairpin on one note."""
    direction = Element("direction", placement="above" if lines.above else "below")
    SubElement(SubElement(SubElement(direction, "direction-type"), "dynamics"), lines.goal)
    return on_staff(direction, lines)


def techniques(lines: LineEnds) -> Iterator[Element]:
    """How who plays the file plays from a note on; the words stand beside it."""
    for word in lines.techniques:
        if word in MUTES:
            sound = Element("sound")
            SubElement(SubElement(sound, "play"), "mute").text = PLAYED[word]
            yield sound
        elif word in PLAYED:
            yield Element("sound", pizzicato=PLAYED[word])


def on_staff(made: Element, lines: LineEnds) -> Element:
    """A direction, of its own staff where the part has several."""
    if lines.staff:
        SubElement(made, "staff").text = str(lines.staff)
    return made


def direction(tag: str, text: str, weight: str = "", style: str = "") -> Element:
    """Words or a letter above the staff."""
    made = Element("direction", placement="above")
    words = SubElement(SubElement(made, "direction-type"), tag)
    words.text = plain_text(text)
    for name, value in (("font-weight", weight), ("font-style", style)):
        if value:
            words.set(name, value)
    return made


def decimal(value: Fraction) -> str:
    """A number as MusicXML writes it: whole if it is, else with three places at most."""
    if value.denominator == 1:
        return str(value.numerator)
    thousandths = round(value * 1000)
    return f"{thousandths // 1000}.{thousandths % 1000:03d}".rstrip("0").rstrip(".")


# ----------------------------------------------------------------
# Repeat signs and the brackets of endings, in the bar lines of a measure.
#
# In: a measure's element and its frame. Out: the same measure with its left and right bar lines as the frame has them.
# The sign at the very beginning of a movement is left out, as on the page.


def _form_words(form: FormWords) -> Element:
    """Words at the end of a measure, and what a player of the file does there.

    Source: MusicXML 4.0, attributes `dacapo`, `dalsegno`, `tocoda` and `fine` of `sound`.
    """
    made = direction("words", form.words, style="italic")
    if form.sign == TO_CODA:
        # The sign beside the words would be read as the beginning of another coda.
        SubElement(made, "sound", tocoda="coda")
    elif form.sign == FINE:
        SubElement(made, "sound", fine="yes")
    elif form.sign.startswith("da capo"):
        SubElement(made, "sound", dacapo="yes")
    else:
        SubElement(made, "sound", dalsegno="segno")
    return made


def place_repeats(measure: Element, frame: Frame, is_first: bool, is_top: bool) -> None:
    """Put in what the frame has; `is_top` is for the part that carries what stands above the score."""
    begins = frame.repeat_begins and not is_first
    if begins or frame.ending:
        left = Element("barline", location="left")
        if begins:
            SubElement(left, "bar-style").text = "heavy-light"
        if frame.ending:
            numbers = ",".join(map(str, frame.ending))
            SubElement(left, "ending", number=numbers, type="start").text = frame.ending_text
        if begins:
            SubElement(left, "repeat", direction="forward")
        measure.insert(next((i for i, child in enumerate(measure) if child.tag != "print"), len(measure)), left)
    if is_top:
        said = [direction("words", frame.times, style="italic")] if frame.times else []
        said += map(_form_words, frame.closes)
        end = next((i for i, child in enumerate(measure) if child.get("location") == "right"), len(measure))
        measure[end:end] = said
    if frame.repeat_ends or frame.ending_stops:
        right = next((b for b in measure.findall("barline") if b.get("location") == "right"), None)
        if right is None:
            right = SubElement(measure, "barline", location="right")
        if frame.repeat_ends and right.find("bar-style") is None:
            SubElement(right, "bar-style").text = "light-heavy"
        if frame.ending_stops:
            kind = "stop" if frame.repeat_ends else "discontinue"
            SubElement(right, "ending", number=",".join(map(str, frame.ending_stops)), type=kind)
        if frame.repeat_ends:
            sign = SubElement(right, "repeat", direction="backward")
            if frame.times:
                sign.set("times", str(frame.repeat_ends))
