"""Chord symbols: `Gm7`, `Bbmaj7`, `D/F#` as a root, a quality and a bass, and the notes that they stand for.

Pitches are at concert pitch. Source of the qualities and their signs: common practice.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from cavata.music.pitch import Interval, Pitch, PitchClass, parse_interval, parse_pitch_class, plain_accidentals
from cavata.record import record, replace

QUALITIES: dict[str, str] = {
    "": "M3 P5",
    "m": "m3 P5",
    "7": "M3 P5 m7",
    "maj7": "M3 P5 M7",
    "m7": "m3 P5 m7",
    "mmaj7": "m3 P5 M7",
    "dim": "m3 dim5",
    "dim7": "m3 dim5 dim7",
    "m7b5": "m3 dim5 m7",
    "aug": "M3 aug5",
    "sus2": "M2 P5",
    "sus4": "P4 P5",
    "6": "M3 P5 M6",
    "m6": "m3 P5 M6",
    "9": "M3 P5 m7 M9",
    "maj9": "M3 P5 M7 M9",
    "m9": "m3 P5 m7 M9",
    "add9": "M3 P5 M9",
}
"""Every quality by its sign, with the intervals above the root."""
ALSO = {
    "ø": "m7b5", "ø7": "m7b5", "°": "dim", "°7": "dim7", "maj": "", "min": "m", "min7": "m7", "M7": "maj7",
}  # fmt: skip
"""Other signs that are read for a quality."""

LOWEST_OCTAVE = 3
"""The lowest note of a chord lies in the octave from C3 up."""

_SYMBOL = re.compile(r"([A-G](?:##|bb|#|b)?)([^/]*)(?:/([A-G](?:##|bb|#|b)?))?")


@record
class ChordSymbol:
    """A chord by its root, one of QUALITIES, and the bass under it where another note than the root is lowest."""

    root: PitchClass
    quality: str
    bass: PitchClass | None = None

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Its notes in close position, lowest first; a ninth lies above the octave where the root is lowest.

        Spelled as the intervals say, however many signs that takes.
        """
        root = Pitch.of(self.root, LOWEST_OCTAVE)
        tones = (root, *(root.exactly(parse_interval(text)) for text in QUALITIES[self.quality].split()))
        if self.bass is None:
            return tones
        bass = Pitch.of(self.bass, LOWEST_OCTAVE)
        others = tuple(_just_above(bass, tone) for tone in tones if (tone.midi - bass.midi) % 12)
        return (bass, *sorted(others, key=lambda pitch: pitch.midi))

    def moved(self, interval: Interval) -> ChordSymbol:
        """The symbol transposed, spelled as the interval says."""
        return self.renamed(lambda name: (Pitch.of(name, 4) + interval).pitch_class)

    def renamed(self, named: Callable[[PitchClass], PitchClass]) -> ChordSymbol:
        """The symbol with its root and bass named by a rule."""
        return replace(self, root=named(self.root), bass=None if self.bass is None else named(self.bass))

    def __str__(self) -> str:
        return f"{self.root}{self.quality}" + (f"/{self.bass}" if self.bass is not None else "")


def _just_above(bass: Pitch, tone: Pitch) -> Pitch:
    return tone.shifted(-((tone.midi - bass.midi) // 12))


def parse_chord_symbol(text: str) -> ChordSymbol:
    """Read a symbol; ValueError for one that begins with no note name or has none of the known qualities."""
    found = _SYMBOL.fullmatch(plain_accidentals(text))
    if found is None or ALSO.get(found[2], found[2]) not in QUALITIES:
        raise ValueError(f"not a chord symbol: {text}")
    bass = None if found[3] is None else parse_pitch_class(found[3])
    root = parse_pitch_class(found[1])
    return ChordSymbol(root, ALSO.get(found[2], found[2]), None if bass == root else bass)
