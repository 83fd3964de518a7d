"""How far a follower can be moved: by every usual interval, or by degrees of a mode.

In: the reach, and a mode if answers keep to one. Out: intervals from the lowest up, and pitches moved by them. In a
mode an interval stands for as many degrees as it has steps; a note foreign to the mode goes by the interval itself, as
in `canon(..., in MODE)`.
"""

from __future__ import annotations

from cavata.music.event import Motif
from cavata.music.mode import Mode, moved, native
from cavata.music.pitch import INTERVAL_PATTERN, NATURAL_SEMITONES, Interval, Pitch

_SIMPLE = ((0, 0), (1, 1), (1, 2), (2, 3), (2, 4), (3, 5), (3, 6), (4, 7), (5, 8), (5, 9), (6, 10), (6, 11))
"""By semitones the staff steps of the usual interval."""


def intervals(reach: int, octaves_only: bool = False) -> tuple[Interval, ...]:
    """Every usual interval up to so many semitones, from the lowest up."""
    found = []
    for semitones in range(-reach, reach + 1):
        octaves, rest = divmod(abs(semitones), 12)
        if not octaves_only or not rest:
            upward = Interval(7 * octaves + _SIMPLE[rest][0], abs(semitones))
            found.append(upward if semitones >= 0 else -upward)
    return tuple(found)


def _plain(steps: int) -> Interval:
    octaves, step = divmod(steps, 7)
    return Interval(steps, 12 * octaves + NATURAL_SEMITONES[step])


def _has_a_name(interval: Interval) -> bool:
    upward = interval if interval.steps >= 0 else -interval
    return upward.semitones >= 0 and INTERVAL_PATTERN.fullmatch(str(upward)) is not None


class Mover:
    """Moves pitches, and knows by which intervals a line may be moved."""

    def __init__(self, mode: Mode | None, reach: int, octaves_only: bool) -> None:
        self.mode = mode
        self.reach = reach
        self._octaves_only = octaves_only
        # A search moves thousands of pitches: what the mode has at each letter is asked once.
        self._alters = tuple(map(mode.alteration, range(7))) if mode is not None and mode.by_letter else ()

    def intervals(self, line: Motif) -> tuple[Interval, ...]:
        """Every interval that the line may be moved by: within a mode, for each number of degrees that by which the
        line's first note moves.

        Where that note is foreign to the mode, or the mode's degrees are no staff steps, the major or perfect interval.
        """
        if self.mode is None:
            return intervals(self.reach, self._octaves_only)
        first = next((event.heads[0].pitch for event in line.sounding), None)
        most = max(steps for steps in range(22) if _plain(steps).semitones <= self.reach)
        found = []
        for steps in range(-most, most + 1):
            interval = _plain(steps) if steps >= 0 else -_plain(-steps)
            if first is not None and self._alters and self._alters[first.letter] == first.alter:
                own = self.moved(first, interval) - first
                interval = own if _has_a_name(own) else interval
            found.append(interval)
        return tuple(found)

    def moved(self, pitch: Pitch, interval: Interval) -> Pitch:
        """The pitch moved, even where it could not be written."""
        position = pitch.position + interval.steps
        if self._alters:
            if self._alters[pitch.letter] == pitch.alter:
                return Pitch(position, self._alters[position % 7])
        elif self.mode is not None and native(pitch, self.mode) == pitch:
            return moved(pitch, interval.steps, self.mode)
        return Pitch(position, pitch.midi + interval.semitones - Pitch(position, 0).midi)
