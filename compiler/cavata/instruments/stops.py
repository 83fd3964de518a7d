"""Which notes a bowed string player can stop at once: one note a string, on neighboring strings, within a hand's reach.

In: an instrument with strings, and sounding pitches. Out: how they lie, with the distance between the outermost stopped
fingers in millimeters; nothing where there is no way. An open string needs no finger. Where fingers stand follows from
the string: the semitone s above the nut lies at L * (1 - 2 ** (-s / 12)) of a sounding length L.

Limits are those that real works ask for, measured on encodings of Bach's solo works for violin and cello, of five of
Paganini's caprices and of 41 movements of string quartets; a hand may be smaller, and a player knows best.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import permutations

from cavata.instruments.instrument import Instrument
from cavata.instruments.left_hand import HandPosition
from cavata.music.pitch import Pitch
from cavata.record import record

LENGTHS = {"violin": 328, "viola": 370, "cello": 695, "double bass": 1060}
"""Sounding lengths of strings in millimeters. Source: the string calculator of Violin Strings Library for the violin,
viola and cello, which are in use from 325 to 328, 359 to 387 and 690 to 700; the bass of 3/4 size, 1030 to 1060."""
LIMITS = {"violin": (75, 120), "viola": (85, 125), "cello": (100, 175), "double bass": (100, 175)}
"""From which distance in millimeters a stop needs care, and beyond which nobody takes it. The widest found are 118 for
the violin (Paganini), 88 for the viola and 165 for the cello (Bach, the fourth suite); of the bass no works were
measured, and the cello's limits stand for it."""
FRAMES = {"violin": 82, "viola": 93, "cello": 111, "double bass": 116}
"""Millimeters of one string that a hand has under its fingers without a stretch: a fourth from the nut on violin and
viola, a minor third on the cello, a whole tone on the bass. Source: positions as they are taught, from memory; the
distances follow from the string."""
THUMB_FROM = {"cello": 7, "double bass": 12}
"""Semitones above the open string from which the thumb lies on the strings; it stops a fifth well. Source: common
practice, from memory."""
HIGHEST_STOP, HIGHEST_OF_LOWER = 31, 20
"""Semitones above the nut on the highest string, as far as fingerboards go, and on the others. The farthest found are
25 on the highest (Paganini, an F7 beside a D6) and 20 on the next."""


@record
class Stop:
    """How notes that sound at once lie under a hand."""

    strings: tuple[int, ...]
    """For each pitch its string, counted from 0 at the lowest."""
    offsets: tuple[int, ...]
    """For each pitch its semitones above that string; 0 for the open string."""
    spread: int
    """Millimeters between the outermost stopped fingers; 0 where the length of the strings is not known."""


@lru_cache(maxsize=4096)
def stops_of(instrument: Instrument, pitches: tuple[Pitch, ...], bowed: bool = True) -> tuple[Stop, ...]:
    """All ways to stop some notes at once, with the least distance between the fingers first, however far that is.

    What is bowed lies on neighboring strings; what is plucked may leave strings out.
    """
    strings, keys = instrument.strings, [pitch.midi for pitch in pitches]
    highest = max(strings, key=lambda string: string.midi)
    limits = [HIGHEST_STOP if string == highest else HIGHEST_OF_LOWER for string in strings]
    found: list[Stop] = []
    for way in permutations(range(len(strings)), len(keys)) if len(keys) <= len(strings) else ():
        offsets = tuple(key - strings[string].midi for key, string in zip(keys, way, strict=True))
        if bowed and max(way) - min(way) >= len(way):
            continue
        if any(not 0 <= offset <= limits[string] for offset, string in zip(offsets, way, strict=True)):
            continue
        places = [_place(instrument, offset) for offset in offsets if offset]
        found.append(Stop(way, offsets, round(max(places) - min(places)) if len(places) > 1 else 0))
    return tuple(sorted(found, key=lambda stop: (stop.spread, stop.offsets)))


def stop_of(instrument: Instrument, pitches: tuple[Pitch, ...], bowed: bool = True) -> Stop | None:
    """The stop with the least distance between the fingers; None where the notes cannot sound at once."""
    return next(iter(stops_of(instrument, pitches, bowed)), None)


def _place(instrument: Instrument, offset: float) -> float:
    """Millimeters from the nut to a finger so many semitones above the open string."""
    return LENGTHS.get(instrument.key, 0) * (1 - 2 ** (-offset / 12))


def grip_of(instrument: Instrument, stop: Stop) -> HandPosition | None:
    """Where the outer fingers of a stop stand; None for open strings alone."""
    places = [round(_place(instrument, offset)) for offset in stop.offsets if offset]
    return HandPosition(min(places), max(places)) if places else None


def reach_between(instrument: Instrument, low: float, high: float) -> int:
    """Millimeters between two semitones of a string; 0 where the length of the strings is not known."""
    return round(_place(instrument, high) - _place(instrument, low))


def is_out_of_reach(instrument: Instrument, stop: Stop, reach: float = 1.0) -> bool:
    """Whether a stop is wider than any that the measured works ask for; `reach` multiplies how far that is."""
    return instrument.key in LIMITS and stop.spread > LIMITS[instrument.key][1] * reach


def needs_care(instrument: Instrument, stop: Stop, reach: float = 1.0) -> bool:
    """Whether a stop is wide."""
    return instrument.key in LIMITS and stop.spread > LIMITS[instrument.key][0] * reach


def fifths_in(stop: Stop) -> tuple[int, ...]:
    """The offsets at which one finger lies across two strings or more."""
    return tuple(sorted({offset for offset in stop.offsets if offset and stop.offsets.count(offset) > 1}))
