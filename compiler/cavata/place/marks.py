"""Marks in the order in which a player meets them: what repeats or cutting left open or said twice is put right.

In: the events of one staff in order. Out: the same events with tidy marks. Holds after: slurs and
hairpins that begin end again; a dynamic is not restated while it is in force, but stands again after a long rest;
techniques, pedal and glissandi are settled.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from cavata.music.dynamics import in_force_after
from cavata.music.event import Event
from cavata.place.techniques import settled
from cavata.record import replace
from cavata.score.score import ScoreEvent

LONG_REST, REST = 2, 1
"""After so many bars of rest a player is told the dynamic again; after so many if the script says it again. Source:
common practice."""


def tidy(events: tuple[ScoreEvent, ...], bar_length: Callable[[Fraction], Fraction]) -> tuple[ScoreEvent, ...]:
    """The staff's events with tidy marks; `bar_length` gives the length of the bar at an onset."""
    return settled(_dynamics(_hairpins(_slurs(events)), bar_length))


def _slurs(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Every slur begun is ended: at the latest before the next begins, or on the last note."""
    out = list(events)
    begun: int | None = None
    for index, placed in enumerate(events):
        marks = placed.event.marks
        if marks.slur_ends and begun is None:
            _mark(out, index, slur_ends=False)
        elif marks.slur_ends:
            begun = None
        if marks.slur_begins:
            if begun is not None:
                _close(out, begun, index - 1)
            begun = index
    if begun is not None:
        _close(out, begun, len(events) - 1)
    return tuple(out)


def _close(out: list[ScoreEvent], begun: int, last: int) -> None:
    if last > begun:
        _mark(out, last, slur_ends=True)
    else:
        _mark(out, begun, slur_begins=False)


def _hairpins(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Every hairpin begun is ended: by the next dynamic or hairpin, or on the last note; a stray end goes."""
    out = list(events)
    begun = False
    for index, placed in enumerate(events):
        marks = placed.event.marks
        on_one_note = bool(marks.hairpin) and marks.hairpin_ends and not begun
        ends = begun and (marks.hairpin_ends or bool(marks.hairpin) or bool(marks.dynamic))
        if ends != marks.hairpin_ends and not on_one_note:
            _mark(out, index, hairpin_ends=ends)
        begun = bool(marks.hairpin) and not on_one_note or (begun and not ends)
    if begun:
        _mark(out, len(events) - 1, hairpin_ends=True)
    return tuple(out)


def _dynamics(events: tuple[ScoreEvent, ...], bar_length: Callable[[Fraction], Fraction]) -> tuple[ScoreEvent, ...]:
    out = list(events)
    in_force, swelling = "", False
    for index, placed in enumerate(events):
        marks = placed.event.marks
        rest = _bars_of_rest(events[index - 1], placed, bar_length) if index else 0
        long_rest = rest >= LONG_REST
        if marks.dynamic and marks.dynamic == in_force and rest < REST and not swelling and not marks.hairpin:
            _mark(out, index, dynamic="")
        elif not marks.dynamic and long_rest and in_force and not swelling:
            _mark(out, index, dynamic=in_force)
        in_force = in_force_after(marks.dynamic, in_force)
        if marks.hairpin and marks.hairpin_ends and marks.goal:
            in_force = marks.goal
        elif marks.hairpin_ends and not marks.dynamic:
            # A hairpin that leads to no dynamic: nobody knows what is in force.
            in_force = ""
        swelling = (bool(marks.hairpin) and not marks.goal) or (swelling and not marks.hairpin_ends)
    return tuple(out)


def _bars_of_rest(
    before: ScoreEvent, event: ScoreEvent, bar_length: Callable[[Fraction], Fraction]
) -> Fraction | int:
    """How many bars of rest, in bars of the first one's length, lie between two events."""
    return 0 if event.follows(before) else (event.onset - before.end) / bar_length(before.end)


def _mark(out: list[ScoreEvent], index: int, **changes: object) -> None:
    placed = out[index]
    event: Event = replace(placed.event, marks=replace(placed.event.marks, **changes))  # type: ignore[arg-type]
    out[index] = replace(placed, event=event)
