"""Leaves of a written bar as music21 notes, chords and rests.

In: a leaf, the tuplets around it, and its id. Out: one finished music21 object with typed duration, ties, beams,
accidentals and signs, which the exporter writes as it stands. Equal durations, pitches, beams and signs are one shared
object: the exporter only reads them, and building them anew would take most of the time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from music21 import articulations, beam, chord, duration, expressions, note, percussion, pitch, tie

from cavata.music.pitch import LETTERS
from cavata.musicxml.directions import NOTE_TYPES
from cavata.musicxml.lines import LineEnds
from cavata.notate.written import Accidental, Beam, Leaf, WrittenHead
from cavata.record import record
from cavata.text import plain_text

# ----------------------------------------------------------------
# Ornaments, techniques and grace notes in MusicXML.
#
# In: written leaves. Out: what music21 writes itself (signs, tremolo strokes, the arpeggio sign, grace notes,
# words), and
# elements added to the finished document: glissandi, the pedal, and the accidentals at ornaments.


_SIGNS: dict[str, type[Any]] = {
    "trill": expressions.Trill,
    "turn": expressions.Turn,
    "mordent": expressions.Mordent,
    "rolled": expressions.ArpeggioMark,
}
_TAGS = {"trill": "trill-mark", "turn": "turn", "mordent": "mordent"}
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


def finish_signs(note: Element, found: LineEnds) -> None:
    """Write the accidentals at an ornament, the ends of glissandi, and that a note rings on."""
    if found.rings_on:
        ring_on(note)
    for ornament in found.signed:
        for ornaments in note.iter("ornaments"):
            place = next(index for index, child in enumerate(ornaments) if child.tag == _TAGS[ornament.kind])
            for accidental, side in ((ornament.sign_below, "below"), (ornament.sign, "above")):
                if accidental:
                    mark = Element("accidental-mark", placement=side)
                    mark.text = _ACCIDENTALS.get(accidental, accidental)
                    ornaments.insert(place + 1, mark)
    if found.wavy:
        signs_of = note.find("notations/ornaments")
        if signs_of is None:
            signs_of = SubElement(notations_of(note), "ornaments")
        SubElement(signs_of, "wavy-line", type=found.wavy, placement="above")
    if found.string or found.harmonic:
        technical = SubElement(notations_of(note), "technical")
        if found.string:
            SubElement(technical, "string").text = str(found.string)
        if found.fret is not None:
            SubElement(technical, "fret").text = str(found.fret)
        for kind in found.harmonic[:1]:
            sign = SubElement(technical, "harmonic")
            SubElement(sign, kind)
            SubElement(sign, found.harmonic[1])
    for kind, there in (("stop", found.glide_ends), ("start", found.glide_begins)):
        if there:
            line = {"type": kind, "number": str(found.number), "line-type": "solid"}
            SubElement(notations_of(note), "glissando", line)


def ring_on(note: Element) -> None:
    """A tie that leads nowhere; it stands before all other notations."""
    notations_of(note).insert(0, Element("tied", type="let-ring"))


def notations_of(note: Element) -> Element:
    """The notations of a note, which stand before its lyrics."""
    notations = note.find("notations")
    if notations is None:
        notations = Element("notations")
        note.insert(next((i for i, child in enumerate(note) if child.tag == "lyric"), len(note)), notations)
    return notations


def pedal(kind: str, lines: LineEnds, lowest: int) -> Element:
    """The pedal sign, `start` or `stop`; of several staves it stands under the lowest, whichever hand it was said for.
    """
    direction = Element("direction", placement="below")
    SubElement(SubElement(direction, "direction-type"), "pedal", type=kind, sign="yes", line="no")
    if lines.staff:
        SubElement(direction, "staff").text = str(lowest)
    return direction


# ----------------------------------------------------------------

ONE_LINE = ("E", 4)
"""Where the only line of a one-line staff lies: MusicXML reads a percussion clef as a treble clef, its line 1 is E4."""

_ARTICULATIONS: dict[str, type[Any]] = {
    "staccato": articulations.Staccato,
    "staccatissimo": articulations.Staccatissimo,
    "tenuto": articulations.Tenuto,
    "accent": articulations.Accent,
    "marcato": articulations.StrongAccent,
    "portato": articulations.DetachedLegato,
    "upbow": articulations.UpBow,
    "downbow": articulations.DownBow,
    "open": articulations.OpenString,
    "breath": articulations.BreathMark,
    "caesura": articulations.Caesura,
    "stopped": articulations.Stopped,
    "harmonic": articulations.StringHarmonic,
}
_BEAMS = {
    Beam.BEGIN: ("start", None),
    Beam.CONTINUE: ("continue", None),
    Beam.END: ("stop", None),
    Beam.HOOK_FORWARD: ("partial", "right"),
    Beam.HOOK_BACKWARD: ("partial", "left"),
}
_TIES = {(True, False): "start", (False, True): "stop", (True, True): "continue"}


@record
class TupletShare:
    """A tuplet as one of its leaves sees it."""

    actual: int
    normal: int
    unit: Fraction
    begins: bool
    ends: bool
    printed: bool
    """Whether a bracket stands at the number."""
    shows_ratio: bool = False


class Leaves:
    """Makes the notes, chords and rests of one score; letters stand under the notes if `letters` says so."""

    def __init__(self, letters: bool) -> None:
        self._letters = letters
        self._durations: dict[tuple[Fraction, int, tuple[TupletShare, ...]], Any] = {}
        self._whole_bars: dict[Fraction, Any] = {}
        self._pitches: dict[tuple[int, int, Accidental], Any] = {}
        self._beams: dict[tuple[Beam, ...], Any] = {}
        self._signs = {name: made() for name, made in _ARTICULATIONS.items()}
        self._ties = {ends: tie.Tie(name) for ends, name in _TIES.items()}
        self._fermata = expressions.Fermata()
        self._fermata.type = "upright"

    def rest(self, leaf: Leaf, brackets: tuple[TupletShare, ...], bar: Fraction, identifier: str) -> Any:
        """A rest; one that fills its bar lasts as long as the bar, whatever it looks like."""
        if leaf.whole_bar:
            made = note.Rest(duration=self._whole_bar(bar), fullMeasure=True, id=identifier)
        else:
            made = note.Rest(duration=self._duration(leaf, brackets), fullMeasure=False, id=identifier)
        if leaf.unseen:
            made.style.hideObjectOnPrint = True
        self._dress(made, leaf)
        return made

    def note(self, leaf: Leaf, brackets: tuple[TupletShare, ...], lines: int, identifier: str) -> Any:
        """A note, or a chord whose first head has the id and whose further heads have `h2`, `h3` after it.

        `lines` are those of an unpitched staff, 0 for a pitched one.
        """
        length = self._duration(leaf, brackets)
        if lines:
            struck = [self._struck(h, length, head_id(identifier, n), lines) for n, h in enumerate(leaf.heads)]
            made = struck[0] if len(struck) == 1 else percussion.PercussionChord(struck, duration=length)
        elif len(leaf.heads) == 1:
            made = self._head(leaf.heads[0], length, identifier)
        else:
            heads = [self._head(h, length, head_id(identifier, n)) for n, h in enumerate(leaf.heads)]
            made = chord.Chord(heads, duration=length)
        for head in made.notes if len(leaf.heads) > 1 else (made,):
            if leaf.marks.spoken:
                head.notehead = "x"
            if leaf.marks.stemless:
                head.stemDirection = "noStem"
        if leaf.beams:
            made.beams = self._beamed(leaf.beams)
        if self._letters and leaf.letters:
            made.lyrics.append(note.Lyric(plain_text(leaf.letters), applyRaw=True, syllabic="single"))
        self._dress(made, leaf)
        made.expressions.extend(signs(leaf))
        return made

    def graces(self, leaf: Leaf, lines: int, identifier: str) -> Iterator[Any]:
        """The grace notes before a leaf."""
        return grace_notes(leaf, partial(self._struck, lines=lines) if lines else self._head, identifier)

    def _struck(self, head: WrittenHead, length: Any, identifier: str, lines: int) -> Any:
        made = note.Unpitched(duration=length, id=identifier)
        place = ONE_LINE if lines == 1 else (LETTERS[head.pitch.letter], head.pitch.octave)
        made.displayStep, made.displayOctave = place
        made.tie = self._tie(head)
        return made

    def _head(self, head: WrittenHead, length: Any, identifier: str) -> Any:
        made = note.Note(self._pitch(head), duration=length, id=identifier)
        made.tie = self._tie(head)
        if head.diamond:
            made.notehead, made.noteheadFill = "diamond", False
        if head.color:
            made.style.color = head.color
        return made

    def _dress(self, made: Any, leaf: Leaf) -> None:
        for name in leaf.marks.articulations:
            if name == "let_ring":
                continue  # in the finished document: music21 has it in the place of a tie
            if name == "fermata":
                made.expressions.append(self._fermata)
            else:
                made.articulations.append(self._signs[name])

    def _tie(self, head: WrittenHead) -> Any:
        return self._ties.get((head.tie_begins, head.tie_ends))

    def _pitch(self, head: WrittenHead) -> Any:
        key = (head.pitch.position, head.pitch.alter, head.accidental)
        made = self._pitches.get(key)
        if made is None:
            made = pitch.Pitch(step=LETTERS[head.pitch.letter], octave=head.pitch.octave)
            if head.pitch.alter or head.accidental is not Accidental.NONE:
                made.accidental = pitch.Accidental(head.pitch.alter)
                made.accidental.displayStatus = head.accidental is not Accidental.NONE
                if head.accidental is Accidental.COURTESY:
                    made.accidental.displayStyle = "parentheses"
            self._pitches[key] = made
        return made

    def _beamed(self, beams: tuple[Beam, ...]) -> Any:
        made = self._beams.get(beams)
        if made is None:
            made = beam.Beams()
            for number, part in enumerate(beams, 1):
                kind, direction = _BEAMS[part]
                made.beamsList.append(beam.Beam(type=kind, direction=direction, number=number))
            self._beams[beams] = made
        return made

    def _duration(self, leaf: Leaf, brackets: tuple[TupletShare, ...]) -> Any:
        key = (leaf.base, leaf.dots, brackets)
        made = self._durations.get(key)
        if made is None:
            made = duration.Duration(type=NOTE_TYPES[leaf.base], dots=leaf.dots)
            made.tuplets = tuple(_tuplet(bracket) for bracket in brackets)
            self._durations[key] = made
        return made

    def _whole_bar(self, bar: Fraction) -> Any:
        made = self._whole_bars.get(bar)
        if made is None:
            made = duration.Duration(type="whole")
            made.linked = False
            made.quarterLength = bar * 4
            self._whole_bars[bar] = made
        return made


def head_id(identifier: str, index: int) -> str:
    """The id of a chord's head, its lowest having the index 0."""
    return identifier if index == 0 else f"{identifier}h{index + 1}"


def _tuplet(bracket: TupletShare) -> Any:
    unit = NOTE_TYPES[bracket.unit]
    made = duration.Tuplet(bracket.actual, bracket.normal, unit, unit)
    made.bracket, made.placement = bracket.printed, None
    if bracket.shows_ratio:
        made.tupletNormalShow = "number"
    if bracket.begins or bracket.ends:
        made.type = "startStop" if bracket.begins and bracket.ends else "start" if bracket.begins else "stop"
    return made


def make_cue(note: Element) -> None:
    """Make a note small and silent."""
    for sounding in note.findall("tie"):
        note.remove(sounding)
    note.insert(int(note.find("grace") is not None), Element("cue"))
    make_small(note)


def make_small(note: Element) -> None:
    """Give a note the size of a cue."""
    kind = note.find("type")
    if kind is not None:
        kind.set("size", "cue")
