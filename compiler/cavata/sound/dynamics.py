"""How loud: the velocity of every moment of a staff, from its dynamics and hairpins.

In: the marks of a staff, each at its onset. Out: a velocity for any onset. A dynamic holds until the next; along a
hairpin the velocity goes evenly to the dynamic at its end, or one step if none stands there; a hairpin that never ends
changes nothing. The numbers are this project's own: MIDI has none for dynamics.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction

from cavata.music.dynamics import AFTERWARDS, LASTING
from cavata.music.event import Marks
from cavata.record import dataclass

STEP = 13
LEVELS = {name: 10 + STEP * index for index, name in enumerate(LASTING)}
"""Evenly spaced, from 10 for `pppp` to 127 for `ffff`."""
UNMARKED_LEVEL = LEVELS["mf"]
ATTACKS = {"fp": "f", "sf": "f", "sfp": "f", "rf": "f", "sfz": "ff", "rfz": "ff"}
"""Dynamics of one attack: at least so loud, then as before, or as AFTERWARDS says."""
ACCENTS = {"accent": 15, "marcato": 25}
"""What an articulation adds."""
LOUDEST = 127
_SOON = Fraction(1, 4096)
"""A hairpin on one note alone: its goal holds from the next onset on."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """From its onset on the level goes from `begins` to `ends`, which it reaches at `end`."""

    onset: Fraction
    begins: int
    end: Fraction
    ends: int

    def at(self, onset: Fraction) -> int:
        if onset >= self.end:
            return self.ends
        return self.begins + round((self.ends - self.begins) * (onset - self.onset) / (self.end - self.onset))


class Loudness:
    """The level of a staff at every onset."""

    def __init__(self, marks: Iterable[tuple[Fraction, Marks]]) -> None:
        """From marks in order of their onsets."""
        turns = [(onset, mark) for onset, mark in marks if mark.dynamic or mark.hairpin or mark.hairpin_ends]
        self._stretches = [_Stretch(Fraction(0), UNMARKED_LEVEL, Fraction(0), UNMARKED_LEVEL)]
        for index, (onset, mark) in enumerate(turns):
            level = self._after(mark.dynamic, self._stretches[-1].at(onset))
            following = turns[index + 1] if index + 1 < len(turns) else None
            if mark.hairpin and mark.goal:
                goal = self._goal(mark.hairpin, level, mark.goal)
                self._stretches.append(_Stretch(onset, level, onset + _SOON, goal))
            elif mark.hairpin and following is not None:
                goal = self._goal(mark.hairpin, level, following[1].dynamic)
                self._stretches.append(_Stretch(onset, level, following[0], goal))
            else:
                self._stretches.append(_Stretch(onset, level, onset, level))
        self._onsets = [stretch.onset for stretch in self._stretches]

    def level(self, moment: Fraction) -> int:
        """What dynamics and hairpins have come to at a moment, without the accents of single notes."""
        return self._stretches[bisect_right(self._onsets, moment) - 1].at(moment)

    def velocity(self, onset: Fraction, marks: Marks) -> int:
        """The velocity of an event, from 1 to 127."""
        level = self.level(onset)
        if marks.dynamic in ATTACKS:
            level = max(level, LEVELS[ATTACKS[marks.dynamic]])
        level += max((ACCENTS.get(name, 0) for name in marks.articulations), default=0)
        return min(max(level, 1), LOUDEST)

    @staticmethod
    def _after(dynamic: str, level: int) -> int:
        if dynamic in LEVELS:
            return LEVELS[dynamic]
        return LEVELS[AFTERWARDS[dynamic]] if dynamic in AFTERWARDS else level

    @staticmethod
    def _goal(hairpin: str, level: int, dynamic: str) -> int:
        goal = LEVELS.get(dynamic) or LEVELS.get(ATTACKS.get(dynamic, ""))
        if goal is not None:
            return goal
        return min(level + STEP, LOUDEST) if hairpin == "crescendo" else max(level - STEP, LEVELS["pppp"])
