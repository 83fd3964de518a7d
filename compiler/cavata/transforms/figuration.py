"""Figuration: notes put between those of a line, which keeps its length.

In: a line and a mode. Out: the line with the mode's notes added. An added note keeps the origin of the note it
decorates, with one more step of ADDED. What begins at the decorated note stays at its beginning; what ends with it
stays at its end. Chords and rests stay as they are.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import zip_longest

from cavata.music.event import AFTER_NOTE, HELD, UNMARKED, Event, Head, Marks, Motif, reached
from cavata.music.mode import Mode, between
from cavata.music.mode import above as above_in
from cavata.music.pitch import Pitch
from cavata.record import replace
from cavata.transforms.pitches import checked
from cavata.transforms.selection import bounded

_CLOSING = frozenset(("fermata", "let_ring", *AFTER_NOTE))
"""What stands at the end of a note."""
NEIGHBOR, PASSING = "neighbor note", "passing note"
ADDED = frozenset([NEIGHBOR, PASSING])
"""The steps by which added notes are known from those of the line."""
LONG = Fraction(1, 4)
"""From this length on a note is long enough to go to its neighbor and back."""


def neighbors(motif: Motif, mode: Mode) -> Motif:
    """A long note for half its length, the mode's note above for a quarter of it, and the note again."""
    bounded(3 * len(motif.events))
    events: list[Event] = []
    for event in motif.events:
        if len(event.heads) != 1 or event.duration < LONG:
            events.append(event)
            continue
        head, quarter = event.heads[0], event.duration / 4
        first, last = split_marks(event.marks)
        above = _added(head, checked(above_in(head.pitch, mode)), NEIGHBOR)
        middle = Event(quarter, (above,), Marks(sung=last.sung))
        events += (Event(2 * quarter, event.heads, first), middle, Event(quarter, event.heads, last))
    return Motif(tuple(events))


def passing(motif: Motif, mode: Mode) -> Motif:
    """Each leap of a third filled with the mode's note between, which takes half of the first note's length."""
    bounded(2 * len(motif.events))
    events: list[Event] = []
    for event, following in zip_longest(motif.events, motif.events[1:]):
        between = None if following is None else _between(event, following, mode)
        if between is None:
            events.append(event)
            continue
        first, last = split_marks(event.marks)
        half = event.duration / 2
        added = _added(event.heads[0], between, PASSING)
        events += (Event(half, event.heads, first), Event(half, (added,), last))
    return Motif(tuple(events))


def _between(event: Event, following: Event, mode: Mode) -> Pitch | None:
    """The mode's note in the middle of a third; None for any other step from one single note to another."""
    if len(event.heads) != 1 or len(following.heads) != 1:
        return None
    return between(event.heads[0].pitch, following.heads[0].pitch, mode)


def _added(head: Head, pitch: Pitch, step: str) -> Head:
    return Head(pitch, tuple(origin.through(step) for origin in head.origins))


def split_marks(marks: Marks) -> tuple[Marks, Marks]:
    """What stands at the beginning of a note that is divided, and what at its end."""
    if marks == UNMARKED:
        return UNMARKED, UNMARKED
    ends = replace(
        reached(marks), articulations=tuple(name for name in marks.articulations if name in _CLOSING),
        hairpin_ends=marks.hairpin_ends, slur_ends=marks.slur_ends, glides=marks.glides,
        held=marks.held, pedal_ends=marks.pedal_ends,
        sung=tuple(replace(HELD, verse=syllable.verse) for syllable in marks.sung), spoken=marks.spoken,
        stemless=marks.stemless, division=marks.division, optional=marks.optional,
    )  # fmt: skip
    begins = replace(
        marks, articulations=tuple(name for name in marks.articulations if name not in _CLOSING),
        hairpin_ends=False, slur_ends=False, glides=False, held=Fraction(0), pedal_ends=False, goal="", division="",
    )  # fmt: skip
    return begins, ends
