"""Notes that grow, fade or fall back while they sound: a velocity says only how they begin.

In: an event of an instrument that sustains, and the loudness of its voice. Out: the velocity to strike it with, and the
course of its expression (control 11). It is struck as loud as it becomes, and held back by as much as it is softer at
each moment; so notes that do not change need no expression. Short notes are left to their velocities.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.score.score import Part, ScoreEvent, Staff
from cavata.sound.dynamics import ATTACKS, LOUDEST, Loudness

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
    if event.event.duration < _SHORTEST:
        return struck, [(event.onset, FULL)]
    levels = list(_levels(event, loudness, struck))
    loudest = max(level for _, level in levels)
    if loudest - min(level for _, level in levels) < _LEAST:
        return struck, [(event.onset, FULL)]
    course: Course = []
    for moment, level in levels:
        value = max(round(FULL * Fraction(level, loudest)), 1)
        if not course or course[-1][1] != value:
            course.append((moment, value))
    return loudest, course


def _levels(event: ScoreEvent, loudness: Loudness, struck: int) -> Iterator[tuple[Fraction, int]]:
    attacked = event.event.marks.dynamic in ATTACKS
    more = 0 if attacked else struck - loudness.level(event.onset)
    now = event.onset
    while now < event.end:
        held = attacked and now < event.onset + _ATTACK
        yield now, struck if held else min(max(loudness.level(now) + more, 1), LOUDEST)
        now += _STEP
