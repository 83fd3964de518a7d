"""Ornaments and techniques: what is written at a note beside its pitch and length, and what a reader adds to it.

Pitches are at concert pitch. A neighbour that the script does not name is the next place on the staff as the
signature has it, a natural where there is no signature. Source: common practice.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Interval, Pitch
from cavata.record import dataclass

ORNAMENTS = ("trill", "turn", "mordent", "tremolo", "rolled")
UNMEASURED = Fraction(1, 32)
"""What a tremolo that is not measured repeats, roughly; its three strokes are those of this value."""
TECHNIQUES = (
    "pizzicato", "arco", "muted", "unmuted", "solo", "tutti", "divisi", "unison",
    "sul_tasto", "sul_ponticello", "ordinary",
)  # fmt: skip
"""Ways of playing that hold until another one of their kind."""
PRINTED = {
    "pizzicato": "pizz.", "arco": "arco", "muted": "con sord.", "unmuted": "senza sord.", "solo": "solo",
    "tutti": "tutti", "divisi": "div.", "unison": "unis.", "sul_tasto": "sul tasto",
    "sul_ponticello": "sul pont.", "ordinary": "ord.",
}  # fmt: skip
"""How the trade writes them. Source: common practice."""
KINDS = (
    ("arco", "pizzicato"), ("unmuted", "muted"), ("tutti", "solo"), ("unison", "divisi"),
    ("ordinary", "sul_tasto", "sul_ponticello"),
)  # fmt: skip
"""Techniques that end one another; the first of each holds where nothing was said."""
KIND_OF = {word: kind for kind, words in enumerate(KINDS) for word in words}
"""The kind of every technique, as its place in KINDS."""

ACCIDENTAL_NAMES = {-2: "double flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double sharp"}
_FIFTHS = (0, 2, 4, -1, 1, 3, 5)


@dataclass(frozen=True, slots=True)
class Ornament:
    """A sign that changes how a note is played."""

    kind: str
    """One of ORNAMENTS."""
    to: Interval | None = None
    """The upper note of a trill, where the script names it."""
    unit: Fraction | None = None
    """The value a measured tremolo repeats; None for one that is not measured."""
    sign: str = ""
    """On the page, the accidental at a trill: `flat`, `natural`, `sharp` ...; empty where none is needed."""


def signature_alteration(fifths: int, letter: int) -> int:
    """What a signature of so many sharps (flats below zero) does to a letter (0 for C to 6 for B)."""
    return (fifths - _FIFTHS[letter] + 5) // 7


def neighbour(pitch: Pitch, steps: int, fifths: int) -> Pitch:
    """The pitch so many places of the staff away, as the signature has it."""
    position = pitch.position + steps
    return Pitch(position, signature_alteration(fifths, position % 7))


def trilled(pitch: Pitch, ornament: Ornament, fifths: int) -> Pitch:
    """The upper note of a trill."""
    return pitch + ornament.to if ornament.to is not None else neighbour(pitch, 1, fifths)
