"""A compiled piece as a listener has it: the notes of each movement without their origins."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.score.score import Movement, Score, ScoreBar, ScoreEvent, bar_at
from cavata.trace.heard import HeardLine, HeardNote, HeardScore


def heard_score(score: Score) -> tuple[HeardScore, ...]:
    """Every movement."""
    return tuple(HeardScore(m.title or m.name, tuple(_lines(score, m))) for m in score.movements)


def _lines(score: Score, movement: Movement) -> Iterator[HeardLine]:
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in staves:
            name = f"{part.label or part.name} {staff.name}".strip()
            for number, voice in enumerate(staff.voices, start=1):
                notes = tuple(_notes(voice, movement.bars))
                if notes:
                    yield HeardLine(name, number, notes)


def _notes(voice: tuple[ScoreEvent, ...], bars: tuple[ScoreBar, ...]) -> Iterator[HeardNote]:
    end: Fraction | None = None
    for event in voice:
        pitches = tuple(sorted((head.pitch for head in event.event.heads), key=lambda p: (p.midi, p.position)))
        if not pitches:
            continue
        rest = end is not None and event.onset > end
        yield HeardNote(event.onset, event.event.duration, pitches, bar_number(event.onset, bars), rest)
        end = event.end


def bar_number(onset: Fraction, bars: tuple[ScoreBar, ...]) -> str:
    """The printed number of the bar in which an onset lies."""
    return str(bar_at(bars, onset).number) if bars else ""
