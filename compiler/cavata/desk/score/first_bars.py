"""The first bars of a piece, of which its first system can be made while the rest is still looked at.

In: a score as it is placed. Out: so many of its bars that the first system of a copy, and what leads on from it, is in
them.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.record import record, replace
from cavata.score.score import Movement, Score, ScoreEvent, Staff, events_of

_BARS = 27
"""A bar with a rest takes 1.7 heights of a staff (`breaks.bar_width`), so that no system has more than 18 of them; by
eight bars after it is decided what leads over its end (`stretches`)."""


@record
class Beginning:
    """The first bars of a piece, and which copy of them is wanted."""

    score: Score
    """With the first bars of the first movement as its only music."""
    playing: frozenset[str]
    """The parts that have a note in that movement."""
    copy: str
    room: str


def beginning(score: Score, copy: str, room: str) -> Beginning:
    """The beginning of a score that has a movement with a bar."""
    movement = score.movements[0]
    playing = frozenset(
        part.name for part, staves in zip(score.parts, movement.staves, strict=True)
        if any(event.event.heads for event in events_of(staves))
    )  # fmt: skip
    return Beginning(replace(score, movements=(_first_bars(movement),)), playing, copy, room)


def _first_bars(movement: Movement) -> Movement:
    """A movement up to a bar; what sounds on there is cut."""
    if len(movement.bars) <= _BARS:
        return movement
    end = movement.bars[_BARS].onset
    return replace(
        movement, duration=end, bars=movement.bars[:_BARS],
        tempi=tuple(tempo for tempo in movement.tempi if tempo.onset < end),
        changes=tuple(change for change in movement.changes if change.begin < end),
        staves=tuple(tuple(_first_of(staff, end) for staff in part) for part in movement.staves),
    )  # fmt: skip


def _first_of(staff: Staff, end: Fraction) -> Staff:
    return replace(
        staff, voices=tuple(tuple(_until(voice, end)) for voice in staff.voices),
        ossia=tuple(tuple(_until(voice, end)) for voice in staff.ossia),
    )


def _until(voice: tuple[ScoreEvent, ...], end: Fraction) -> Iterator[ScoreEvent]:
    for event in voice:
        if event.onset >= end:
            return
        yield event.up_to(end)
