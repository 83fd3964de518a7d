"""Which harmonics a string has, and whether a hand reaches from the finger that stops to the one that touches.

In: an instrument with strings, and the pitch that sounds. Out: open strings with a node for it, or the distance between
the two fingers of an artificial harmonic. Nodes are those of NODES in `strings.py`, partials 2 to 6. Distances follow
from the length of the string; how far a hand reaches on one string is from memory: violins in all positions, the cello
with its thumb, the double bass only high.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

from cavata.instruments.instrument import Instrument
from cavata.instruments.stops import HIGHEST_OF_LOWER, HIGHEST_STOP, reach_between
from cavata.instruments.strings import NODES, harmonic_of
from cavata.music.pitch import Pitch

ON_ONE_STRING = {"violin": (90, 125), "viola": (100, 140), "cello": (150, 200), "double bass": (130, 200)}
"""From which distance in millimeters on one string two fingers need care, and beyond which nobody takes it."""


def natural_strings(instrument: Instrument, pitch: Pitch) -> tuple[int, ...]:
    """The strings that have a pitch as a natural harmonic, counted from 0."""
    return tuple(
        string for string, open_ in enumerate(instrument.strings) if harmonic_of(open_, pitch) is not None
    )  # fmt: skip


def naturals_at_once(instrument: Instrument, pitches: Sequence[Pitch]) -> bool:
    """Whether neighboring strings have some pitches as natural harmonics, one a string."""
    having = [natural_strings(instrument, pitch) for pitch in pitches]
    return any(
        max(way) - min(way) < len(way) and all(string in strings for string, strings in zip(way, having, strict=True))
        for way in permutations(range(len(instrument.strings)), len(pitches))
    )  # fmt: skip


def artificial_reach(instrument: Instrument, pitch: Pitch, touching: str = "P4") -> int | None:
    """Millimeters between the finger that stops and the one that touches, on the string where they are closest.

    None where no string has the stopped note; 0 where the length of the strings is not known.
    """
    node = next(node for node in NODES if str(node.touched) == touching)
    stopped = pitch.midi - node.sounds.semitones
    touched = stopped + node.touched.semitones
    highest = max(string.midi for string in instrument.strings)
    reaches = [
        reach_between(instrument, stopped - string.midi, touched - string.midi)
        for string in instrument.strings
        if 0 <= stopped - string.midi <= (HIGHEST_STOP if string.midi == highest else HIGHEST_OF_LOWER)
    ]
    return min(reaches, default=None)


def trill_reach(instrument: Instrument, pitch: Pitch, upper: Pitch) -> int:
    """Millimeters between the fingers of a trill on one string, where they are closest; 0 with an open string."""
    return min(
        (
            reach_between(instrument, pitch.midi - string.midi, upper.midi - string.midi)
            if pitch.midi > string.midi else 0
            for string in instrument.strings if pitch.midi >= string.midi
        ),
        default=0,
    )  # fmt: skip
