"""The name of the chord that notes make, where common practice has one.

The table is of common practice: triads, sevenths, added notes and ninths. Names go by keys of the keyboard, so that a
chord spelled oddly is still found. Of several names (an augmented triad has three roots) the first in the table's order
is taken, and then the one whose root is the lowest note.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import dataclass

QUALITIES: dict[str, tuple[int, ...]] = {
    "major triad": (0, 4, 7),
    "minor triad": (0, 3, 7),
    "diminished triad": (0, 3, 6),
    "augmented triad": (0, 4, 8),
    "dominant seventh": (0, 4, 7, 10),
    "minor seventh": (0, 3, 7, 10),
    "major seventh": (0, 4, 7, 11),
    "half-diminished seventh": (0, 3, 6, 10),
    "diminished seventh": (0, 3, 6, 9),
    "minor triad with major seventh": (0, 3, 7, 11),
    "augmented triad with major seventh": (0, 4, 8, 11),
    "augmented triad with minor seventh": (0, 4, 8, 10),
    "dominant seventh without fifth": (0, 4, 10),
    "minor seventh without fifth": (0, 3, 10),
    "major seventh without fifth": (0, 4, 11),
    "fourth chord": (0, 5, 10),
    "major triad with added second": (0, 2, 4, 7),
    "minor triad with added second": (0, 2, 3, 7),
    "dominant seventh with fourth": (0, 5, 7, 10),
    "dominant ninth": (0, 2, 4, 7, 10),
    "minor ninth": (0, 2, 3, 7, 10),
    "major ninth": (0, 2, 4, 7, 11),
    "dominant minor ninth": (0, 1, 4, 7, 10),
    "pentatonic scale": (0, 2, 4, 7, 9),
    "whole-tone scale": (0, 2, 4, 6, 8, 10),
    "fifth": (0, 7),
}
"""Semitones above the root."""
_INVERSIONS = ("root position", "first inversion", "second inversion", "third inversion", "fourth inversion")


@dataclass(frozen=True, slots=True)
class ChordName:
    """A chord by its root and kind."""

    root: PitchClass
    quality: str
    lowest: PitchClass

    @property
    def position(self) -> str:
        """Which inversion, counted in the chord's own thirds or as the table writes it."""
        steps = QUALITIES[self.quality]
        above = (self.lowest.semitone - self.root.semitone) % 12
        index = steps.index(above)
        return _INVERSIONS[index] if index < len(_INVERSIONS) else f"over {self.lowest}"

    def __str__(self) -> str:
        where = "" if self.lowest.semitone == self.root.semitone else f", {self.lowest} lowest"
        return f"{self.root} {self.quality}{where}"


def chord_name(pitches: Sequence[Pitch]) -> ChordName | None:
    """The chord that the notes make together, or None where the table has no name; there must be a note."""
    lowest = min(pitches, key=lambda pitch: pitch.midi).pitch_class
    classes = {pitch.pitch_class.semitone: pitch.pitch_class for pitch in reversed(pitches)}
    for quality, steps in QUALITIES.items():
        roots = [c for c in classes.values() if {(c.semitone + step) % 12 for step in steps} == set(classes)]
        if roots:
            root = min(roots, key=lambda c: ((c.semitone - lowest.semitone) % 12, c.letter))
            return ChordName(root, quality, lowest)
    return None
