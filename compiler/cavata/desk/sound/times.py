"""When each note of a page is heard: by its id, at the times that the sound itself has.

In: a movement of a copy as it is written, the same movement of the score, and how it sounds. Out: for a piece of the
sound the ids of the notes that sound in it, each from and to, in seconds from the movement's beginning. A note that is
repeated is heard as often.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from fractions import Fraction

from cavata.desk.sound.pieces import SoundPiece
from cavata.musicxml.ids import identified_times
from cavata.notate.written import WrittenMovement
from cavata.score.clock import played_stretches
from cavata.score.score import Movement
from cavata.sound.audio_events import RATE
from cavata.sound.sounding import SoundingMovement

Shift = tuple[Fraction, Fraction, Fraction]


class CopyTimes:
    """The notes of one movement of a copy."""

    def __init__(self, written: WrittenMovement) -> None:
        self._notes = sorted(identified_times(written), key=lambda note: note[1])
        self._onsets = [onset for _, onset, _ in self._notes]

    def of(self, movement: Movement, sounding: SoundingMovement, piece: SoundPiece) -> list[tuple[str, float, float]]:
        """Ids, from and to, in seconds, of what begins in a piece; `movement` is that of the score."""
        found = []
        for begin, end, shift in shifts(movement):
            first, last = max(begin, piece.begin - shift), min(end, piece.end - shift)
            if first < last:
                here = slice(bisect_left(self._onsets, first), bisect_left(self._onsets, last))
                for name, onset, until in self._notes[here]:
                    on, off = (sounding.sample(moment + shift) / RATE for moment in (onset, min(until, end)))
                    found.append((name, round(on, 4), round(off, 4)))
        return sorted(found, key=lambda note: (note[1], note[0]))


def shifts(movement: Movement) -> Iterator[Shift]:
    """The stretches of the score in the order in which they sound: from, to, and by how much later they are played."""
    now = Fraction(0)
    for begin, end in played_stretches(movement):
        yield begin, end, now - begin
        now += end - begin
