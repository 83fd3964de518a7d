"""Written pitch: what the player reads for what sounds, and the key signature that goes with it.

In: an instrument, sounding pitches, the key at concert pitch. Out: written pitches and signatures. In a
score at concert pitch only octave transposers (piccolo, double bass, guitar, celesta ...) are still written
at their octave. A signature that the transposition would bring to more than six accidentals gives way to its
enharmonic, and the pitches go with it; no pitch is written with more than a double accidental. Source: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from cavata.instruments.instrument import Instrument
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch

MIDDLE_LINE = Pitch(34, 0)
"""Where unpitched notes stand: B4, the middle line of the percussion clef."""


def written_interval(instrument: Instrument, concert_score: bool) -> Interval:
    """The interval from sounding up to written pitch."""
    interval = -instrument.transposition
    octave = interval.steps % 7 == 0 and interval.semitones % 12 == 0
    return interval if octave or not concert_score else Interval(0, 0)


def fifths_of(interval: Interval) -> int:
    """How many fifths a transposition moves a signature: up a major second two sharps more."""
    return 7 * interval.semitones - 12 * interval.steps


@dataclass(frozen=True, slots=True)
class Reading:
    """How sounding pitches are written while one key lasts."""

    interval: Interval
    signature: int
    """Sharps, or flats if negative, as written."""
    most: int = 2
    """Sharps or flats of one note. Where the key had to be respelled it is 1: no player should read Ebb for a D."""
    known: dict[Pitch, Pitch] = field(default_factory=dict)

    def written(self, pitch: Pitch) -> Pitch:
        """The written pitch for a sounding one."""
        found = self.known.get(pitch)
        if found is None:
            found = self.known[pitch] = _spelled(
                pitch.position + self.interval.steps, pitch.midi + self.interval.semitones, self.most
            )
        return found


def reading(instrument: Instrument, concert_score: bool, key: Mode | None) -> Reading:
    """The reading of an instrument in a key."""
    interval = written_interval(instrument, concert_score)
    signature = key.fifths + fifths_of(interval) if key else 0
    most = 7 if fifths_of(interval) == 0 else 6
    while signature > most:
        signature, interval = signature - 12, Interval(interval.steps + 1, interval.semitones)
    while signature < -most:
        signature, interval = signature + 12, Interval(interval.steps - 1, interval.semitones)
    respelled = interval != written_interval(instrument, concert_score)
    return Reading(interval, signature, 1 if respelled else 2)


def _spelled(position: int, midi: int, most: int) -> Pitch:
    """The spelling at a staff position; one with more signs than that moves to the letter that needs at most one."""
    pitch = Pitch(position, midi - Pitch(position, 0).midi)
    if abs(pitch.alter) > most:
        while abs(pitch.alter) > 1:
            position += 1 if pitch.alter > 0 else -1
            pitch = Pitch(position, midi - Pitch(position, 0).midi)
    return pitch
