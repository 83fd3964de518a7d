"""Fermatas for everyone: where one waits all wait, and every staff says so.

In: a copy, and the piece that it was made of. Out: the copy with each fermata of the piece on all of its staves: at the
note that ends where the waiting ends; at one held beyond, which is divided there, the first of the tied notes having
the sign; over the rest where nothing sounds. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import Event, Marks, divided_marks
from cavata.record import replace
from cavata.score.score import Movement, Score, ScoreEvent, Staff, events_of

_SIGN = Marks(articulations=("fermata",))


def with_fermatas(copy: Score, piece: Score) -> Score:
    """The copy with every fermata of the piece on each of its staves."""
    movements = zip(copy.movements, piece.movements, strict=True)
    return replace(copy, movements=tuple(movement_with_fermatas(movement, whole) for movement, whole in movements))


def movement_with_fermatas(movement: Movement, whole: Movement) -> Movement:
    """A movement of a copy with every fermata of the whole one on each of its staves."""
    waits = _waits(whole)
    if not waits:
        return movement
    staves = tuple(tuple(_waiting(staff, waits) for staff in part) for part in movement.staves)
    return replace(movement, staves=staves)


def _waits(movement: Movement) -> tuple[ScoreEvent, ...]:
    """The events with a fermata, of those that end together the shortest, in order of their ends."""
    found: dict[Fraction, ScoreEvent] = {}
    for event in filter(_has_sign, movement.events):
        before = found.get(event.end)
        found[event.end] = event if before is None or event.onset > before.onset else before
    return tuple(found[end] for end in sorted(found))


def _has_sign(event: ScoreEvent) -> bool:
    return "fermata" in event.event.marks.articulations


def _waiting(staff: Staff, waits: Sequence[ScoreEvent]) -> Staff:
    ends = [wait.end for wait in waits]
    voices = tuple(tuple(_held(voice, ends)) for voice in staff.voices or ((),))
    silences = tuple(_silences(staff, waits))
    if silences:
        upper = sorted((*voices[0], *silences), key=lambda event: event.onset)
        voices = (tuple(upper), *voices[1:])
    return replace(staff, voices=voices)


def _held(voice: Sequence[ScoreEvent], ends: Sequence[Fraction]) -> Iterator[ScoreEvent]:
    """The events of a voice, those that sound as a waiting ends with the sign."""
    place = 0
    for event in voice:
        while place < len(ends) and ends[place] <= event.onset:
            place += 1
        inside = place
        while inside < len(ends) and ends[inside] < event.end:
            if event.can_be_divided(ends[inside]):
                first, event = _in_two(event, ends[inside])
                yield _signed(first)
            else:
                event = _signed(event)
            inside += 1
        yield _signed(event) if inside < len(ends) and ends[inside] == event.end else event


def _in_two(event: ScoreEvent, moment: Fraction) -> tuple[ScoreEvent, ScoreEvent]:
    """A note as two tied ones."""
    first, second = divided_marks(event.event.marks)
    heads = event.event.heads
    return (
        replace(event, event=Event(moment - event.onset, heads, first), tied_after=True, held_after=()),
        replace(event, onset=moment, event=Event(event.end - moment, heads, second), tied_before=True, held_before=()),
    )


def _signed(event: ScoreEvent) -> ScoreEvent:
    return event if _has_sign(event) else event.marked(_SIGN)


def _silences(staff: Staff, waits: Sequence[ScoreEvent]) -> Iterator[ScoreEvent]:
    """Rests with a fermata where nothing sounds on the staff as a waiting ends."""
    events = sorted(events_of((staff,)), key=lambda event: event.onset)
    place = 0
    sounding = Fraction(0)
    for wait in waits:
        while place < len(events) and events[place].onset < wait.end:
            sounding = max(sounding, events[place].end)
            place += 1
        if sounding < wait.end:
            begin = max(sounding, wait.onset)
            yield ScoreEvent(begin, Event(wait.end - begin, (), _SIGN), wait.line)
