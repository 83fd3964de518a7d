"""How loud: the velocity of every moment of a staff, from its dynamics and hairpins.

In: the marks of a staff, each at its onset. Out: a velocity for any onset. A dynamic holds until the next; along a
hairpin the velocity goes evenly to the dynamic at its end, or one step if none stands there; a hairpin that never ends
changes nothing. The numbers are this project's own: MIDI has none for dynamics.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cavata.music.event import BASE_HAIRPINS, FROM_NOTHING, LASTING, NOTHING, Marks
from cavata.record import record
from cavata.score.score import Part, ScoreEvent, Staff

STEP = 13
LEVELS = {name: 10 + STEP * index for index, name in enumerate(LASTING)}
"""Evenly spaced, from 10 for `pppp` to 127 for `ffff`."""
SILENCE = 0
UNMARKED_LEVEL = LEVELS["mf"]
STRUCK = {"fp": "f", "sf": "f", "sfp": "f", "rf": "f", "fz": "f", "sfz": "ff", "rfz": "ff"}
"""Attacks: at least so loud, then as `Marks.in_force_after` says."""
ACCENTS = {"accent": 15, "marcato": 25}
"""What an articulation adds."""
LOUDEST = 127
SOON = Fraction(1, 4096)
"""A hairpin on one note alone comes to its goal so much before the note's end, and so before the next onset."""


@record
class _Stretch:
    """From its onset on the level goes from `begins` to `ends`, which it reaches at `end`."""

    onset: Fraction
    begins: int
    end: Fraction
    ends: int

    def at(self, onset: Fraction) -> int:
        """The level at an onset, on the straight line between both ends."""
        if onset >= self.end:
            return self.ends
        return self.begins + round((self.ends - self.begins) * (onset - self.onset) / (self.end - self.onset))


def turns_loudness(marks: Marks) -> bool:
    """Whether something changes there for the notes after it too; by most attacks nothing does."""
    return bool(marks.in_force_after("") or marks.hairpin or marks.hairpin_ends)


class Loudness:
    """The level of a staff at every onset."""

    def __init__(self, marks: Iterable[tuple[Fraction, Marks]]) -> None:
        """From marks in order of their onsets."""
        turns = [(onset, mark) for onset, mark in marks if turns_loudness(mark)]
        self._stretches = [_Stretch(Fraction(0), UNMARKED_LEVEL, Fraction(0), UNMARKED_LEVEL)]
        for index, (onset, mark) in enumerate(turns):
            level = self._begins(mark, onset)
            following = turns[index + 1] if index + 1 < len(turns) else None
            if mark.hairpin and following is not None:
                told = NOTHING if following[1].dies_away else " ".join(following[1].loud[:1])
                goal = self._goal(BASE_HAIRPINS[mark.hairpin], level, told)
                self._stretches.append(_Stretch(onset, level, following[0], goal))
            else:
                self._stretches.append(_Stretch(onset, level, onset, level))
        self._onsets = [stretch.onset for stretch in self._stretches]

    def level(self, moment: Fraction) -> int:
        """What dynamics and hairpins have come to at a moment, without the accents of single notes."""
        return self._stretches[bisect_right(self._onsets, moment) - 1].at(moment)

    def is_even(self, onset: Fraction, end: Fraction) -> bool:
        """Whether the level stays as it is from one moment to another."""
        place = bisect_right(self._onsets, onset)
        here = self._stretches[place - 1]
        return (here.begins == here.ends or onset >= here.end) and (
            place == len(self._onsets) or self._onsets[place] >= end
        )

    def velocity(self, onset: Fraction, marks: Marks) -> int:
        """The velocity of an event, from 1 to 127."""
        level = self.level(onset)
        if marks.attack:
            level = max(level, LEVELS[STRUCK[marks.attack]])
        level += max((ACCENTS.get(name, 0) for name in marks.articulations), default=0)
        return min(max(level, 1), LOUDEST)

    def _begins(self, marks: Marks, onset: Fraction) -> int:
        """The level at a turn; after silence that of the note that began to die away, unless a sign says another."""
        if marks.hairpin == FROM_NOTHING:
            return SILENCE
        last = self._stretches[-1]
        return LEVELS.get(marks.in_force_after(""), last.begins if marks.dies_away else last.at(onset))

    @staticmethod
    def _goal(hairpin: str, level: int, dynamic: str) -> int:
        if dynamic == NOTHING:
            return SILENCE
        goal = LEVELS.get(dynamic) or LEVELS.get(STRUCK.get(dynamic, ""))
        if goal is not None:
            return goal
        return min(level + STEP, LOUDEST) if hairpin == "crescendo" else max(level - STEP, LEVELS["pppp"])


# ----------------------------------------------------------------
# Notes that grow, fade or fall back while they sound: a velocity says only how they begin.
#
# In: an event of an instrument that sustains, and the loudness of its voice. Out: the velocity to strike it with, and
# the course of its expression (control 11). It is struck as loud as it becomes, and held back by as much as it is
# softer at each moment; so notes that do not change need no expression. Short notes are left to their velocities. What
# is struck again and again within an event, as a roll, needs no expression where each stroke has a velocity of its own.


FULL = 127
"""Of the expression: nothing is held back."""
SUSTAINING = frozenset(["woodwind", "brass", "strings", "voice"])
_SHORTEST = Fraction(3, 8)
_LEAST = 6
"""A change of level that is heard within a note."""
_ATTACK, _STEP = Fraction(1, 16), Fraction(1, 32)
"""How long an `fp` stays loud, and how often the expression is set anew."""

Course = list[tuple[Fraction, int]]
"""Moments and values of the expression."""


def swells(part: Part, own_channel: bool, staves: Sequence[Staff]) -> bool:
    """Whether the notes of a part can change while they sound without changing others on their channel."""
    voices = [voice for staff in staves for voice in staff.voices if voice]
    return own_channel and part.instrument.family in SUSTAINING and len(voices) == 1


def swell(event: ScoreEvent, loudness: Loudness) -> tuple[int, Course]:
    """The velocity of an event, and its course; an event that stays as it is has the full expression alone."""
    struck = loudness.velocity(event.onset, event.event.marks)
    short = event.event.duration < _SHORTEST
    if short or (not event.event.marks.attack and loudness.is_even(event.onset, event.end)):
        return struck, [(event.onset, FULL)]
    levels = list(_levels(event, loudness, struck))
    loudest = max(level for _, level in levels)
    if loudest - min(level for _, level in levels) < _LEAST:
        return struck, [(event.onset, FULL)]
    course: Course = []
    for moment, level in levels:
        value = max(round(FULL * Fraction(level, loudest)), min(level, 1))
        if not course or course[-1][1] != value:
            course.append((moment, value))
    return loudest, course


def _levels(event: ScoreEvent, loudness: Loudness, struck: int) -> Iterator[tuple[Fraction, int]]:
    now = event.onset
    while now < event.end:
        yield now, level_within(event, loudness, struck, now)
        now += _STEP


def level_within(event: ScoreEvent, loudness: Loudness, struck: int, moment: Fraction) -> int:
    """How loud an event that was struck so is at a moment of it: an accent stays, an attack is over soon."""
    attacked = bool(event.event.marks.attack)
    if attacked and moment < event.onset + _ATTACK:
        return struck
    more = 0 if attacked else struck - loudness.level(event.onset)
    return min(max(loudness.level(moment) + more, SILENCE), LOUDEST)
