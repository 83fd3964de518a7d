"""Where the slide of a trombone stands for a note, and which notes one glissando joins.

In: a trombone of the table, and sounding pitches. Out: for each pitch its places: the tube that is open (the slide
alone, or with a valve), the partial, and the position, counted from 1. A position lowers the tube by a semitone, so the
partial n sounds 12 * log2(n) semitones above the tube, as far as its slide is drawn below that; a true glissando stays
in one partial of one tube. Source: acoustics of the tube; positions and partials as in published charts, which the
tests compare. Valves make the slide too short for a seventh position.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import log2

from cavata.music.pitch import Pitch
from cavata.record import record

STRAIGHT = ""
"""The tube of the slide alone."""
POSITIONS, WITH_A_VALVE = 7, 6
HIGHEST_PARTIAL = 12
_NOT_IN_FIRST = (7, 11)
"""Partials that are so flat that the slide must come in for them, which it cannot in the first position. Source:
trombone slide pages (playingbrass.com) for the seventh, as acoustics has it for both."""
SECONDS_A_POSITION, SECONDS_FARTHEST = 0.05, 0.28
"""How long the slide takes to a neighboring position, and from the first to the seventh. From memory."""


@record
class Tube:
    """A length of tube: the slide in, and a valve or none."""

    valve: str
    """As `F valve`; empty for the slide alone."""
    lowest: int
    """The first partial with the slide in, as a MIDI number."""
    positions: int


@record
class SlidePosition:
    """How a note lies."""

    tube: int
    partial: int
    position: int


TUBES = {
    "alto trombone": (Tube(STRAIGHT, 39, POSITIONS),),
    "trombone": (Tube(STRAIGHT, 34, POSITIONS), Tube("F valve", 29, WITH_A_VALVE)),
    "bass trombone": (
        Tube(STRAIGHT, 34, POSITIONS), Tube("F valve", 29, WITH_A_VALVE), Tube("second valve", 30, WITH_A_VALVE),
        Tube("both valves", 26, 5),
    ),
    "contrabass trombone": (Tube(STRAIGHT, 29, 6), Tube("valve", 24, 5), Tube("valve", 26, 5)),
}  # fmt: skip
"""The tubes of every trombone, the slide alone first: in E flat, B flat, B flat and F. Tenors often have the valve in
F; a bass trombone usually has another in G flat, which with the first gives D. Source: encyclopedia text on the
trombone (pinocchiopedia.com) for the tenor; the rest from memory."""


def is_slide(key: str) -> bool:
    """Whether the instrument of that key has a slide."""
    return key in TUBES


@lru_cache(maxsize=1024)
def places(key: str, pitch: int) -> tuple[SlidePosition, ...]:
    """Every place of a note on a trombone, the slide alone first, then by its position."""
    found = [
        SlidePosition(index, partial, position)
        for index, tube in enumerate(TUBES[key])
        for partial in range(1, HIGHEST_PARTIAL + 1)
        for position in [tube.lowest + round(12 * log2(partial)) - pitch + 1]
        if 1 <= position <= tube.positions and not (position == 1 and partial in _NOT_IN_FIRST)
    ]
    return tuple(sorted(found, key=lambda place: (place.tube, place.position, place.partial)))


@record
class LowNote:
    """What is to be said of a low note."""

    absent: bool
    """No position has it."""
    what: str
    """As `has no {}`, with a place for its name."""
    why: str


_USUAL_PEDALS = {"alto trombone": 36, "trombone": 31, "bass trombone": 29}
"""The lowest pedal note that players are used to, as a MIDI number: of the tenor G1, whose pedals below are difficult.
Source: an orchestra's introduction to the trombone (Home of Orchestra World) for the tenor; the others from memory."""
_WITH_THE_VALVE_PULLED = {"trombone": 35}
"""B1, for which the tuning slide of the F attachment is pulled out to E. Source: encyclopedia text on the trombone
(pinocchiopedia.com), with a chart of the range."""


@lru_cache(maxsize=256)
def low_note(key: str, pitch: Pitch) -> LowNote | None:
    """What is to be said of a sounding note at the bottom of a trombone; None of one that lies as others do, of the
    contrabass trombone, whose valves differ, and of what has no slide."""
    if not is_slide(key) or key == "contrabass trombone" or pitch.midi > TUBES[key][0].lowest + 12:
        return None
    found = places(key, pitch.midi)
    if not found:
        if _WITH_THE_VALVE_PULLED.get(key) == pitch.midi:
            return LowNote(False, "hardly has {}", "only with the F attachment, its slide pulled out to E")
        return LowNote(True, "has no {}", "no position of the slide has it")
    if all(place.partial == 1 for place in found):
        if pitch.midi < _USUAL_PEDALS[key]:
            return LowNote(False, "has very low pedal notes", "few players have them, and not at once")
        return None if key == "bass trombone" else LowNote(
            False, "has pedal notes", "they want a moment before them, and no soft entry"
        )  # fmt: skip
    if key == "trombone" and all(place.tube > 0 for place in found):
        return LowNote(False, "needs the F attachment for {}", "the slide alone ends at E2; not every tenor has one")
    return None


def is_absent(key: str, pitch: Pitch) -> bool:
    """Whether no position of a slide has a low note."""
    low = low_note(key, pitch)
    return low is not None and low.absent


def glissando(key: str, first: Pitch, second: Pitch) -> str | None:
    """With which valve a smooth glissando joins two notes: STRAIGHT for the slide alone; None if there is none."""
    lanes = {(place.tube, place.partial) for place in places(key, first.midi)}
    lanes &= {(place.tube, place.partial) for place in places(key, second.midi)}
    return TUBES[key][min(lanes)[0]].valve if lanes else None


def farthest_glissando(key: str, first: Pitch, second: Pitch) -> int:
    """The MIDI number to which a glissando from the first note can go at most on the way to the second."""
    step = 1 if second.midi > first.midi else -1
    lanes = [(place.tube, place.partial) for place in places(key, first.midi)]
    reached = first.midi
    for pitch in range(first.midi, second.midi + step, step):
        lanes = [lane for lane in lanes if lane in {(place.tube, place.partial) for place in places(key, pitch)}]
        if not lanes:
            break
        reached = pitch
    return reached


_CLOSE = 2
"""So many positions the slide may go while the lip changes the partial, and the slur stay clean. From memory."""


def slurs_cleanly(key: str, first: Pitch, second: Pitch) -> bool:
    """Whether two notes are joined without a smear and without the tongue: the lip changes the partial, or a valve the
    tube. Source: crossing partials slurs without the tongue (playingbrass.com)."""
    return first.midi == second.midi or any(
        (one.partial, one.tube) != (other.partial, other.tube) and abs(one.position - other.position) <= _CLOSE
        for one in places(key, first.midi) for other in places(key, second.midi)
    )  # fmt: skip


def slide_seconds(positions: int) -> float:
    """How long the slide takes over so many positions."""
    if positions <= 0:
        return 0.0
    return SECONDS_A_POSITION + (SECONDS_FARTHEST - SECONDS_A_POSITION) * (positions - 1) / (POSITIONS - 2)


def widest_steps(key: str, pitches: Sequence[int], seconds: Sequence[float]) -> tuple[int, ...]:
    """The positions that the slide must travel to each note from the one before, where the slide goes the way on which
    the most hurried of its steps is the least hurried; 0 for the first. `seconds` is the time to each from the one
    before.
    """
    # How hurried the way to each place is at worst, then how far it goes in all; and the place before.
    ways: list[dict[SlidePosition, tuple[float, int, SlidePosition | None]]] = []
    for pitch, time in zip(pitches, seconds, strict=True):
        here: dict[SlidePosition, tuple[float, int, SlidePosition | None]] = {}
        for place in places(key, pitch):
            if not ways or not ways[-1]:
                here[place] = 0.0, 0, None
                continue
            here[place] = min(
                (
                    (max(worst, slide_seconds(abs(place.position - other.position)) / max(time, 0.01)),
                     gone + abs(place.position - other.position) + (place.tube != other.tube), other)
                    for other, (worst, gone, _) in ways[-1].items()
                ),
                key=lambda way: way[:2],
            )  # fmt: skip
        ways.append(here)
    steps = [0] * len(ways)
    at: SlidePosition | None = None
    for index in range(len(ways) - 1, -1, -1):
        if at is None:
            at = min(ways[index], key=lambda place: ways[index][place][:2], default=None)
        if at is not None:
            before = ways[index][at][2]
            steps[index] = abs(at.position - before.position) if before is not None else 0
            at = before
    return tuple(steps)


def lip_trill(key: str, low: Pitch, high: Pitch) -> bool:
    """Whether the lip alone trills two notes: neighboring partials from the sixth on, at one position of one tube.

    Source: players' pages and from memory; in practice that is a whole tone from about F4 up.
    """
    spots = {(place.tube, place.position): place.partial for place in places(key, low.midi) if place.partial > 5}
    return any(
        spots.get((place.tube, place.position), 0) + 1 == place.partial for place in places(key, high.midi)
    )


def valve_trill(key: str, low: Pitch, high: Pitch) -> bool:
    """Whether a valve trills two notes a second apart with the slide in, where it lies at one place for both.

    From memory: A3 to B flat 3 and C4 to D4 on the tenor with its valve are of these.
    """
    ones = [place for place in places(key, low.midi) if place.position == 1 and place.partial > 3]
    return any(
        place.position == 1 and place.tube != one.tube and place.partial > 3
        for one in ones for place in places(key, high.midi)
    )  # fmt: skip
