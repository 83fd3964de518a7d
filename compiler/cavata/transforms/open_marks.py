"""Slurs and hairpins of a line from which notes were cut: what is left of each begins and ends in the line.

In: the events that are left. Out: the same events; every slur that begins ends on a later note, and the other way
round, and every hairpin that begins ends. A slur of which one note is left is gone.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet

from cavata.music.event import Event, Marks
from cavata.record import replace


def closed(events: Sequence[Event]) -> tuple[Event, ...]:
    """What is left open on either side is closed at the first or last note."""
    sounding = [index for index, event in enumerate(events) if event.heads]
    if not any(events[index].marks for index in sounding):
        return tuple(events)
    out = list(events)
    _close_slurs(out, sounding)
    _close_hairpins(out, sounding)
    _close_pedal(out, sounding)
    return tuple(out)


def without_events(events: Sequence[Event], indices: AbstractSet[int]) -> tuple[Event, ...]:
    """The events but those; a slur or hairpin that ended or began there does so at the nearest note left to it."""
    out = list(events)
    kept = [index for index, event in enumerate(events) if event.heads and index not in indices]
    for index in sorted(indices):
        after = next((k for k in kept if k > index), None)
        before = next((k for k in reversed(kept) if k < index), None)
        if after is not None:
            out[after] = _with(out[after], _handed_on(out[index].marks, out[after].marks))
        if before is not None:
            out[before] = _with(out[before], _handed_back(out[index].marks, out[before].marks))
    return closed([event for index, event in enumerate(out) if index not in indices])


def _with(event: Event, marks: Marks) -> Event:
    return event if marks == event.marks else replace(event, marks=marks)


def _handed_on(taken: Marks, after: Marks) -> Marks:
    """What began on the note taken away begins on the one after it, unless it would end there too."""
    if taken.slur_begins:
        after = replace(after, slur_ends=False) if after.slur_ends else replace(after, slur_begins=True)
    if taken.hairpin:
        ends = after.hairpin_ends
        after = replace(after, hairpin_ends=False) if ends else replace(after, hairpin=taken.hairpin)
    return replace(after, pedal_begins=True) if taken.pedal_begins else after


def _handed_back(taken: Marks, before: Marks) -> Marks:
    """What ended on the note taken away ends on the one before it, unless it began there too."""
    if taken.slur_ends:
        before = replace(before, slur_begins=False) if before.slur_begins else replace(before, slur_ends=True)
    if taken.hairpin_ends:
        before = replace(before, hairpin="") if before.hairpin else replace(before, hairpin_ends=True)
    return replace(before, pedal_ends=True) if taken.pedal_ends else before


def _close_slurs(out: list[Event], sounding: list[int]) -> None:
    first, last = sounding[0], sounding[-1]
    begun: int | None = None
    for index in sounding:
        marks = out[index].marks
        if marks.slur_ends and begun is None:
            if index == first or marks.slur_begins:
                # One note is left of it.
                out[index] = replace(out[index], marks=replace(marks, slur_ends=False))
            else:
                out[first] = out[first].marked(Marks(slur_begins=True))
        begun = index if marks.slur_begins else None if marks.slur_ends else begun
    if begun == last:
        out[last] = replace(out[last], marks=replace(out[last].marks, slur_begins=False))
    elif begun is not None:
        out[last] = out[last].marked(Marks(slur_ends=True))


def _close_hairpins(out: list[Event], sounding: list[int]) -> None:
    last = sounding[-1]
    begun: int | None = None
    for index in sounding:
        marks = out[index].marks
        if marks.hairpin_ends and begun is None and not marks.hairpin:
            out[index] = replace(out[index], marks=replace(marks, hairpin_ends=False))
        begun = index if marks.hairpin and not marks.hairpin_ends else None if marks.hairpin_ends else begun
    if begun == last:
        out[last] = replace(out[last], marks=replace(out[last].marks, hairpin=""))
    elif begun is not None:
        out[last] = out[last].marked(Marks(hairpin_ends=True))


def _close_pedal(out: list[Event], sounding: list[int]) -> None:
    """A pedal that is down at the first note goes down there, one that stays down goes up after the last."""
    down = False
    for index in sounding:
        marks = out[index].marks
        if marks.pedal_ends and not down and not marks.pedal_begins:
            out[sounding[0]] = out[sounding[0]].marked(Marks(pedal_begins=True))
        down = (down or marks.pedal_begins) and not marks.pedal_ends
    if down:
        out[sounding[-1]] = out[sounding[-1]].marked(Marks(pedal_ends=True))
