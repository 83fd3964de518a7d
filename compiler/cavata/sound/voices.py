"""How loud each voice of a staff is told to be.

In: the voices of a staff, in which what two of them have in common stands in the upper one only. Out: for each voice
the moments at which its loudness turns. A lower voice takes what the upper one says where it begins a note itself and
says nothing of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.music.event import Marks
from cavata.score.score import ScoreEvent

Turns = list[tuple[Fraction, Marks]]
"""Moments with the dynamics and hairpins there, in order."""


def turns_of_voices(voices: Sequence[Sequence[ScoreEvent]]) -> list[Turns]:
    """The turns of each voice; a voice that nobody tells anything has none."""
    upper = _own(voices[0]) if voices else []
    return [upper, *(_told(voice, upper) for voice in voices[1:])]


def _own(voice: Sequence[ScoreEvent]) -> Turns:
    return [
        (event.onset, event.event.marks)
        for event in voice
        if event.event.marks.dynamic or event.event.marks.hairpin or event.event.marks.hairpin_ends
    ]


def _told(voice: Sequence[ScoreEvent], upper: Turns) -> Turns:
    own = dict(_own(voice))
    begins = {event.onset for event in voice}
    told = dict(own)
    growing = False
    for onset, marks in upper:
        if onset in begins and onset not in own:
            told[onset] = marks
            growing = bool(marks.hairpin)
        elif growing and marks.hairpin_ends:
            told.setdefault(onset, marks)
            growing = False
    return sorted(told.items(), key=lambda turn: turn[0])
