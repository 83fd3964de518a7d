"""What a reduction is made of: the lines of the whole, one for each voice of each part.

In: parts and their staves in a movement. Out: lines in score order, and for each bar what begins in it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import dataclass
from cavata.score.loudness import loudness
from cavata.score.score import Movement, Part, ScoreBar, ScoreEvent

Rhythm = tuple[tuple[Fraction, Fraction], ...]


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

    rhythms: tuple[Rhythm, ...]
    """For each bar beginning and end of everything that begins in it."""
    pitches: tuple[tuple[tuple[Pitch, ...], ...], ...]
    """For each bar the pitches of everything that begins in it, chord by chord."""
    heights: tuple[Fraction, ...]
    """For each bar the mean key of what begins in it; 0 where nothing does."""

    @classmethod
    def of(
        cls, number: int, part: Part, bars: tuple[tuple[ScoreEvent, ...], ...], loudness: dict[Fraction, str]
    ) -> Line:
        """A line of what begins in each bar."""
        pitches = tuple(tuple(tuple(head.pitch for head in event.event.heads) for event in bar) for bar in bars)
        rhythms = tuple(tuple((event.onset, event.end) for event in bar) for bar in bars)
        return cls(number, part, bars, loudness, rhythms, pitches, tuple(map(_height, pitches)))


def _height(bar: tuple[tuple[Pitch, ...], ...]) -> Fraction:
    keys = [pitch.midi for chord in bar for pitch in chord]
    return Fraction(sum(keys), len(keys)) if keys else Fraction(0)


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


def rhythms_of(lines: Sequence[Line], bar: int) -> int:
    """How many rhythms some lines have in a bar."""
    return len({line.rhythms[bar] for line in lines})


def lines_of(parts: Sequence[Part], movement: Movement) -> Iterator[Line]:
    """Every line of a movement that has a note."""
    number = 0
    for part, staves in zip(parts, movement.staves, strict=True):
        for staff in staves:
            for voice in staff.voices:
                if any(event.event.heads for event in voice):
                    told = {event.onset: loud for event, loud in zip(voice, loudness(voice), strict=True)}
                    yield Line.of(number, part, _by_bar(voice, movement.bars), told)
                    number += 1


def _by_bar(voice: Sequence[ScoreEvent], bars: Sequence[ScoreBar]) -> tuple[tuple[ScoreEvent, ...], ...]:
    starts = [bar.onset for bar in bars]
    found: list[list[ScoreEvent]] = [[] for _ in bars]
    for event in voice:
        if event.event.heads:
            found[bisect_right(starts, event.onset) - 1].append(event)
    return tuple(map(tuple, found))
