"""Transforms of order: events move whole, with their durations and marks."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet

from cavata.diagnostics import Refusal
from cavata.music.event import FROM_NOTHING, NOTHING, TO_NOTHING, UNMARKED, Event, Marks, Motif, told
from cavata.music.pitch import Interval
from cavata.record import replace
from cavata.transforms.pitches import up
from cavata.transforms.selection import ByNumber, Selection, bounded, chosen, notes_in_words

# ----------------------------------------------------------------
# Slurs and hairpins of a line from which notes were cut: what is left of each begins and ends in the line.
#
# In: the events that are left. Out: the same events; every slur that begins ends on a later note, and the other way
# round, and every hairpin that begins ends. A slur of which one note is left is gone.


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
        goal = "" if after.dies_away else after.goal
        ends = after.hairpin_ends
        after = replace(after, hairpin_ends=False, goal=goal) if ends else replace(after, hairpin=taken.hairpin)
    return replace(after, pedal_begins=True) if taken.pedal_begins else after


def _handed_back(taken: Marks, before: Marks) -> Marks:
    """What ended on the note taken away ends on the one before it, unless it began there too."""
    if taken.slur_ends:
        before = replace(before, slur_begins=False) if before.slur_begins else replace(before, slur_ends=True)
    if taken.hairpin_ends and before.hairpin:
        before = replace(before, hairpin="")
    elif taken.hairpin_ends:
        before = replace(before, hairpin_ends=True, goal=NOTHING if taken.dies_away else before.goal)
    if taken.division and not before.division:
        before = replace(before, division=taken.division)
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
        alone = bool(marks.hairpin) and marks.hairpin_ends and bool(marks.goal)  # it begins and ends on one note
        if marks.hairpin_ends and begun is None and not alone:
            goal = "" if marks.dies_away else marks.goal
            out[index] = replace(out[index], marks=replace(marks, hairpin_ends=False, goal=goal))
        begun = index if marks.hairpin and not alone else None if marks.hairpin_ends else begun
    if begun == last:
        out[last] = replace(out[last], marks=replace(out[last].marks, hairpin=""))
    elif begun is not None:
        ends = Marks(hairpin_ends=True, goal=NOTHING if out[begun].marks.hairpin == TO_NOTHING else "")
        out[last] = out[last].marked(ends)


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


# ----------------------------------------------------------------

def retrograde(motif: Motif) -> Motif:
    """From the last event to the first; a slur that began at a note ends there, a crescendo becomes a diminuendo, and a
    division between two notes stays between them.
    """
    if not any(event.marks for event in motif.events):
        return Motif(motif.events[::-1])
    back: list[Event] = []
    kind, glided, divided = "", False, ""
    for event in motif.events:
        marks = event.marks
        ends = marks.hairpin_ends and bool(kind)
        backwards = _reversed_marks(marks, _OPPOSITE[kind] if ends else "", glided)
        back.append(replace(event, marks=replace(backwards, division=divided if event.heads else "")))
        glided = marks.glides
        divided = marks.division if event.heads else divided
        kind = marks.hairpin or ("" if ends else kind)
    return Motif(tuple(reversed(back)))


_OPPOSITE = {
    "": "", "crescendo": "diminuendo", "diminuendo": "crescendo", FROM_NOTHING: TO_NOTHING, TO_NOTHING: FROM_NOTHING,
}  # fmt: skip


def _reversed_marks(marks: Marks, hairpin: str, glided: bool) -> Marks:
    alone = bool(marks.hairpin) and marks.hairpin_ends and bool(marks.goal)
    loud = (UNMARKED if marks.goal == NOTHING else told(marks.goal)) if alone else marks
    goal = NOTHING if marks.hairpin == FROM_NOTHING else " ".join(marks.loud[-1:]) if alone else ""
    return replace(
        marks,
        dynamic=loud.dynamic,
        attack=loud.attack,
        goal=goal,
        slur_begins=marks.slur_ends,
        slur_ends=marks.slur_begins,
        hairpin=_OPPOSITE[marks.hairpin] if alone else hairpin,
        hairpin_ends=bool(marks.hairpin),
        glides=glided,
        pedal_begins=marks.pedal_ends,
        pedal_ends=marks.pedal_begins,
    )


def rotated(motif: Motif, places: int) -> Motif:
    """The first events sent to the end, or with a negative number the last to the front."""
    if not motif.events:
        return motif
    cut = places % len(motif.events)
    return Motif(motif.events[cut:] + motif.events[:cut])


def first(motif: Motif, count: int) -> Motif:
    """The line up to its note of that number, rests between them included."""
    return Motif(closed(motif.events[: _index(motif, count, count) + 1]))


def last(motif: Motif, count: int) -> Motif:
    """The line from that many notes before its end."""
    return Motif(closed(motif.events[_index(motif, len(motif.sounding) - count + 1, count) :]))


def notes(motif: Motif, selection: Selection) -> Motif:
    """These notes of the line, and the rests between such as follow one another."""
    taken = chosen(motif, selection)
    runs: list[tuple[int, int]] = []
    follows = False
    for index in (index for index, event in enumerate(motif.events) if event.heads):
        if index in taken:
            runs.append((runs.pop()[0] if follows else index, index))
        follows = index in taken
    kept: list[Event] = []
    for begin, end in runs:
        kept += closed(closed(motif.events[begin:])[: end - begin + 1])
    return Motif(tuple(kept))


def _index(motif: Motif, number: int, wanted: int) -> int:
    """The event that is the note of that number; refuses in terms of the number that was written."""
    try:
        return next(iter(chosen(motif, Selection((ByNumber(number, number),)))))
    except Refusal as refusal:
        count = len(motif.sounding)
        raise Refusal(
            "V203",
            f"{{subject}} has {notes_in_words(count)}, not {wanted}" if wanted > count else
            f"there is no note {wanted}",
            refusal.label,
            "notes count from 1" if wanted < 1 else f"{count} is the most that can be asked for" if count else "",
            (0, 0),
        ) from None


def without(motif: Motif, notes: Selection) -> Motif:
    """The line without these notes; what follows moves up."""
    indices = chosen(motif, notes)
    return Motif(without_events(motif.events, indices))


def repeated(motif: Motif, times: int) -> Motif:
    """The line so many times in all."""
    if times < 1:
        raise Refusal("V206", f"a line cannot be repeated {times} times", "", "write a number from 1 up", (0, 0))
    bounded(len(motif.events) * times)
    return Motif(motif.events * times)


def sequence(motif: Motif, times: int, interval: Interval, direction: str) -> Motif:
    """The line so many times in all, each time an interval higher or lower than before."""
    if times < 1:
        raise Refusal("V206", f"a sequence cannot have {times} members", "", "write a number from 1 up", (0, 0))
    bounded(len(motif.events) * times)
    step = interval if direction == "up" else -interval
    events: list[Event] = []
    for member in range(times):
        events += up(motif, step * member).events
    return Motif(tuple(events))
