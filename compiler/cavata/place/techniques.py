"""Techniques, pedal and glissandi along one staff.

In: the events of a staff in order, through a movement. Out: the same events. Holds after: a technique stands only where
another of its kind was in force; the pedal that goes down comes up; a glissando leads to a note that follows at once.
"""

from __future__ import annotations

from itertools import zip_longest

from cavata.music.ornament import KIND_OF, KINDS
from cavata.record import replace
from cavata.score.score import ScoreEvent


def settled(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """The events with what is needless or left open put right."""
    if not any(placed.event.marks for placed in events):
        return events
    return _pedalled(_glides(_techniques(events)))


def _techniques(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    out = list(events)
    in_force = [words[0] for words in KINDS]
    for index, placed in enumerate(events):
        given = placed.event.marks.techniques
        last = {KIND_OF[word]: word for word in given}
        needed = tuple(word for word in given if last[KIND_OF[word]] == word != in_force[KIND_OF[word]])
        for word in needed:
            in_force[KIND_OF[word]] = word
        if needed != given:
            out[index] = _with(placed, techniques=needed)
    return tuple(out)


def _glides(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    return tuple(
        _with(placed, glides=False)
        if placed.event.marks.glides and (following is None or following.onset > placed.end)
        else placed
        for placed, following in zip_longest(events, events[1:])
        if placed is not None
    )


def _pedalled(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Down before it goes up, and up before it goes down again or at the last note."""
    out = list(events)
    down = False
    for index, placed in enumerate(events):
        marks = placed.event.marks
        if marks.pedal_begins and down:
            out[index - 1] = _with(out[index - 1], pedal_ends=True)
        down = down or marks.pedal_begins
        if marks.pedal_ends and not down:
            out[index] = _with(placed, pedal_ends=False)
        down = down and not marks.pedal_ends
    if down:
        out[-1] = _with(out[-1], pedal_ends=True)
    return tuple(out)


def _with(placed: ScoreEvent, **changes: object) -> ScoreEvent:
    marks = replace(placed.event.marks, **changes)  # type: ignore[arg-type]  # fields of Marks, named above
    return replace(placed, event=replace(placed.event, marks=marks))
