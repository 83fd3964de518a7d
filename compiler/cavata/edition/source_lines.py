"""What a reduction is made of: the lines of the whole, one for each voice of each part.

In: parts and their staves in a movement. Out: lines in score order, and for each bar what begins in it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import DYNAMICS
from cavata.music.pitch import Pitch
from cavata.place.score import Movement, Part, ScoreBar, ScoreEvent
from cavata.value import dataclass

MOMENTARY = frozenset(dynamic for dynamic in DYNAMICS if dynamic.startswith(("s", "r")) or dynamic == "fp")
"""Dynamics of one note; what was in force goes on after it."""


@dataclass(frozen=True, slots=True)
class Line:
    """One voice of one part through a movement."""

    number: int
    """Its place among the lines of the score, from the top."""
    part: Part
    bars: tuple[tuple[ScoreEvent, ...], ...]
    """For each bar the notes and chords that begin in it."""
    loudness: dict[Fraction, str]
    """For each onset the dynamic in force, empty if none was given."""

    def height(self, bar: int) -> Fraction:
        """The mean key of what begins in a bar; it must have something."""
        keys = [head.pitch.midi for event in self.bars[bar] for head in event.event.heads]
        return Fraction(sum(keys), len(keys))

    def rhythm(self, bar: int) -> tuple[tuple[Fraction, Fraction], ...]:
        """Beginning and end of everything that begins in a bar."""
        return tuple((event.onset, event.end) for event in self.bars[bar])

    def pitches(self, bar: int) -> tuple[tuple[Pitch, ...], ...]:
        """What begins in a bar, chord by chord."""
        return tuple(tuple(head.pitch for head in event.event.heads) for event in self.bars[bar])


@dataclass(frozen=True, slots=True)
class VoiceBar:
    """What one voice of a staff has in one bar."""

    lines: tuple[Line, ...]
    """Those that are written, the highest first."""
    parts: tuple[Part, ...]
    """All that play, those who only double a line too, in score order."""
    lead: Line
    """The line whose slurs, dynamics and signs are written."""
    quiet: bool = False
    """How loud it is stands elsewhere."""


def rhythms(lines: Sequence[Line], bar: int) -> int:
    """How many rhythms some lines have in a bar."""
    return len({line.rhythm(bar) for line in lines})


def lines_of(parts: Sequence[Part], movement: Movement) -> Iterator[Line]:
    """Every line of a movement that has a note."""
    number = 0
    for part, staves in zip(parts, movement.staves, strict=True):
        for staff in staves:
            for voice in staff.voices:
                if any(event.event.heads for event in voice):
                    yield Line(number, part, _by_bar(voice, movement.bars), _loudness(voice))
                    number += 1


def _by_bar(voice: Sequence[ScoreEvent], bars: Sequence[ScoreBar]) -> tuple[tuple[ScoreEvent, ...], ...]:
    starts = [bar.onset for bar in bars]
    found: list[list[ScoreEvent]] = [[] for _ in bars]
    for event in voice:
        if event.event.heads:
            found[bisect_right(starts, event.onset) - 1].append(event)
    return tuple(map(tuple, found))


def _loudness(voice: Sequence[ScoreEvent]) -> dict[Fraction, str]:
    found = {}
    in_force = ""
    for event in voice:
        marks = event.event.marks
        if marks.dynamic and marks.dynamic not in MOMENTARY:
            in_force = marks.dynamic
        elif marks.hairpin_ends:
            in_force = ""
        found[event.onset] = in_force
    return found
