"""How long a bow lasts, how long a plucked string sounds, and how long it takes to change between ways of playing.

Pure tables for bowed instruments, in seconds. All of it is from memory, as players' handbooks have it, and a guide: a
bow lasts as long as the player's arm makes it.
"""

from __future__ import annotations

from cavata.instruments.instrument import Instrument
from cavata.music.pitch import Pitch

BOW = {
    "pppp": 20.0, "ppp": 20.0, "pp": 20.0, "p": 12.0, "mp": 8.0, "mf": 6.0, "f": 4.0, "ff": 3.0, "fff": 3.0,
    "ffff": 3.0,
}  # fmt: skip
"""The longest that one bow lasts at a dynamic: from 2 to 4 s at f, from 8 to 12 s at p, up to 20 s at pp."""
UNSAID = "mf"
HOPELESS_BOW = 6
"""So many times as long, no bow is drawn. Slurs of Beethoven's quartets last up to four and a half times as long, if
the tempi of their encodings are right: they shape a phrase, and players divide them."""
_BASS_BOW = 0.75
"""A bass bow is shorter, and its strings want more of it."""

MUTE_ON, MUTE_OFF = (0.5, 2.0), (0.25, 1.0)
"""Seconds without which nobody puts a mute on or takes it off, and those that a player wants."""
TO_PLUCK, TO_BOW = (0.08, 0.3), (0.08, 0.3)
"""The same from the bow to the finger, and back; a player at ease wants half a second or more."""

_RINGS = {"violin": (1.0, 0.4), "viola": (1.3, 0.5), "cello": (2.5, 0.8), "double bass": (3.5, 1.2)}
"""Seconds that a plucked note is heard on the lowest open string, and three octaves above it."""
_THREE_OCTAVES = 36
EASE_PLUCKED = 0.5
"""The share of the most that can be plucked from which on one finger wants care; two fingers in turn do more."""
RUN = 5
"""So many fast notes in a row are a run; fewer are told of nobody."""


def bow_seconds(instrument: Instrument, dynamic: str) -> float:
    """The longest that one bow lasts."""
    return BOW.get(dynamic, BOW[UNSAID]) * (_BASS_BOW if instrument.key == "double bass" else 1)


def ring(instrument: Instrument, pitch: Pitch) -> float:
    """Seconds that a plucked note is heard; 0 where nothing is known of the instrument."""
    if instrument.key not in _RINGS:
        return 0.0
    low, high = _RINGS[instrument.key]
    height = (pitch.midi - min(string.midi for string in instrument.strings)) / _THREE_OCTAVES
    return low + (high - low) * min(1.0, max(0.0, height))
