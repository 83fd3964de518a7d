"""Modes and keys: seven degrees over a tonic, and the signature they are written with."""

from __future__ import annotations

from dataclasses import dataclass

from cavata.music.pitch import NATURAL_SEMITONES, PitchClass

DEGREES: dict[str, tuple[int, ...]] = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 8, 10),
    "dorian": (0, 2, 3, 5, 7, 9, 10),
    "phrygian": (0, 1, 3, 5, 7, 8, 10),
    "lydian": (0, 2, 4, 6, 7, 9, 11),
    "mixolydian": (0, 2, 4, 5, 7, 9, 10),
    "aeolian": (0, 2, 3, 5, 7, 8, 10),
    "locrian": (0, 1, 3, 5, 6, 8, 10),
}
"""Semitones of the seven degrees above the tonic. Source: common practice."""

# How many fifths the signature lies from that of the major mode on the same tonic.
_SIGNATURE_SHIFT = {
    "major": 0, "minor": -3, "dorian": -2, "phrygian": -4,
    "lydian": 1, "mixolydian": -1, "aeolian": -3, "locrian": -5,
}  # fmt: skip
_FIFTHS_OF_LETTER = (0, 2, 4, -1, 1, 3, 5)


@dataclass(frozen=True, slots=True)
class Mode:
    """A tonic and the name of a seven-degree mode over it, as `D minor`."""

    tonic: PitchClass
    name: str

    @property
    def fifths(self) -> int:
        """Sharps of the signature, or flats if negative."""
        return _FIFTHS_OF_LETTER[self.tonic.letter] + 7 * self.tonic.alter + _SIGNATURE_SHIFT[self.name]

    def alteration(self, letter: int) -> int:
        """The alteration that the mode gives a letter (0 for C to 6 for B)."""
        degree = (letter - self.tonic.letter) % 7
        natural = (NATURAL_SEMITONES[letter] - NATURAL_SEMITONES[self.tonic.letter]) % 12
        return self.tonic.alter + DEGREES[self.name][degree] - natural

    def __str__(self) -> str:
        return f"{self.tonic} {self.name}"
