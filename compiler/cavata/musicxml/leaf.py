"""Leaves of a written bar as music21 notes, chords and rests.

In: a leaf, the tuplets around it, and its id. Out: one finished music21 object with typed duration, ties, beams,
accidentals and signs, which the exporter writes as it stands. Equal durations, pitches, beams and signs are one shared
object: the exporter only reads them, and building them anew would take most of the time.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from typing import Any

from music21 import articulations, beam, chord, duration, expressions, note, percussion, pitch, tie

from cavata.emit.plain_text import plain_text
from cavata.music.pitch import LETTERS
from cavata.musicxml.ornaments import grace_notes, signs
from cavata.notate.written import Accidental, Beam, Leaf, WrittenHead
from cavata.record import dataclass

TYPES: dict[Fraction, str] = {
    Fraction(8): "maxima",
    Fraction(4): "longa",
    Fraction(2): "breve",
    Fraction(1): "whole",
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(1, 8): "eighth",
    **{Fraction(1, n): f"{n}{'nd' if n == 32 else 'th'}" for n in (16, 32, 64, 128, 256, 512, 1024)},
}
"""Note values by the names music21 gives them."""

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


@dataclass(frozen=True, slots=True)
class Bracket:
    """A tuplet as one of its leaves sees it."""

    actual: int
    normal: int
    unit: Fraction
    begins: bool
    ends: bool
    printed: bool
    """Whether a bracket stands at the number."""


class Leaves:
    """Makes the notes, chords and rests of one score; letters stand under the notes if `letters` says so."""

    def __init__(self, letters: bool) -> None:
        self._letters = letters
        self._durations: dict[tuple[Fraction, int, tuple[Bracket, ...]], Any] = {}
        self._whole_bars: dict[Fraction, Any] = {}
        self._pitches: dict[tuple[int, int, Accidental], Any] = {}
        self._beams: dict[tuple[Beam, ...], Any] = {}
        self._signs = {name: made() for name, made in _ARTICULATIONS.items()}
        self._ties = {ends: tie.Tie(name) for ends, name in _TIES.items()}
        self._fermata = expressions.Fermata()
        self._fermata.type = "upright"

    def rest(self, leaf: Leaf, brackets: tuple[Bracket, ...], bar: Fraction, identifier: str) -> Any:
        """A rest; one that fills its bar lasts as long as the bar, whatever it looks like."""
        if leaf.whole_bar:
            made = note.Rest(duration=self._whole_bar(bar), fullMeasure=True, id=identifier)
        else:
            made = note.Rest(duration=self._duration(leaf, brackets), fullMeasure=False, id=identifier)
        self._dress(made, leaf)
        return made

    def note(self, leaf: Leaf, brackets: tuple[Bracket, ...], lines: int, identifier: str) -> Any:
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
        if head.colour:
            made.style.color = head.colour
        return made

    def _dress(self, made: Any, leaf: Leaf) -> None:
        for name in leaf.marks.articulations:
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

    def _duration(self, leaf: Leaf, brackets: tuple[Bracket, ...]) -> Any:
        key = (leaf.base, leaf.dots, brackets)
        made = self._durations.get(key)
        if made is None:
            made = duration.Duration(type=TYPES[leaf.base], dots=leaf.dots)
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


def _tuplet(bracket: Bracket) -> Any:
    unit = TYPES[bracket.unit]
    made = duration.Tuplet(bracket.actual, bracket.normal, unit, unit)
    made.bracket, made.placement = bracket.printed, None
    if bracket.begins or bracket.ends:
        made.type = "startStop" if bracket.begins and bracket.ends else "start" if bracket.begins else "stop"
    return made
