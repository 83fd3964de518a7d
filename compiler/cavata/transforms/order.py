"""Transforms of order: events move whole, with their durations and marks."""

from __future__ import annotations

from cavata.music.event import Event, Marks, Motif
from cavata.music.pitch import Interval
from cavata.music.refusal import Refusal
from cavata.record import replace
from cavata.transforms.limits import bounded
from cavata.transforms.open_marks import closed, without_events
from cavata.transforms.pitches import up
from cavata.transforms.selection import ByNumber, Selection, chosen, notes_in_words


def retrograde(motif: Motif) -> Motif:
    """From the last event to the first; a slur that began at a note ends there, a crescendo becomes a diminuendo."""
    if not any(event.marks for event in motif.events):
        return Motif(motif.events[::-1])
    turned: list[Event] = []
    kind, glided = "", False
    for event in motif.events:
        marks = event.marks
        ends = marks.hairpin_ends and bool(kind)
        turned.append(replace(event, marks=_backwards(marks, _OPPOSITE[kind] if ends else "", glided)))
        glided = marks.glides
        kind = marks.hairpin or ("" if ends else kind)
    return Motif(tuple(reversed(turned)))


_OPPOSITE = {"": "", "crescendo": "diminuendo", "diminuendo": "crescendo"}


def _backwards(marks: Marks, hairpin: str, glided: bool) -> Marks:
    alone = bool(marks.hairpin) and marks.hairpin_ends and bool(marks.goal)
    return replace(
        marks,
        dynamic=marks.goal if alone else marks.dynamic,
        goal=marks.dynamic if alone else "",
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


def notes(motif: Motif, begin: int, end: int) -> Motif:
    """The line from one note to another, both included."""
    if begin > end:
        raise Refusal("V206", f"notes {begin} to {end} run backwards", "", "`retrograde` turns a line round", (0, 0))
    start, stop = _index(motif, begin, begin), _index(motif, end, end, 1) + 1
    return Motif(closed(closed(motif.events[start:])[: stop - start]))


def _index(motif: Motif, number: int, wanted: int, argument: int = 0) -> int:
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
            (argument, 0),
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
    """The line so many times in all, each time an interval higher or lower than before.

    A member that the interval would spell with three accidentals is written by the other name of the interval.
    """
    if times < 1:
        raise Refusal("V206", f"a sequence cannot have {times} members", "", "write a number from 1 up", (0, 0))
    bounded(len(motif.events) * times)
    step = interval if direction == "up" else -interval
    events: list[Event] = []
    for member in range(times):
        events += _member(motif, step * member).events
    return Motif(tuple(events))


def _member(motif: Motif, interval: Interval) -> Motif:
    other = Interval(interval.steps + (-1 if interval.semitones > 0 else 1), interval.semitones)
    try:
        return up(motif, interval)
    except Refusal as refusal:
        if refusal.code != "V210":
            raise
        return up(motif, other)
