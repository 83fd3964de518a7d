"""An ossia: another reading of some bars, on a small staff above them.

In: a written staff, the voices of the ossia, and how the staff is read. Out: the same staff, the bars of the ossia with
its notes, in the clef that the staff has there, so that none need be printed. Above its first note stands what it is.
Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from cavata.notate.cue_notes import plan_within
from cavata.notate.spelled_voice import StaffPlan
from cavata.notate.staff import write_staff
from cavata.notate.written import Leaf, Tuplet, WrittenItem, WrittenStaff, leaves
from cavata.record import replace
from cavata.score.score import ScoreEvent, Staff

OSSIA = "ossia"
"""The word is the same in all languages of music."""


def with_ossia(written: WrittenStaff, voices: Sequence[tuple[ScoreEvent, ...]], plan: StaffPlan) -> WrittenStaff:
    """The staff with its ossia above each bar in which that has a note."""
    bars = list(written.bars)
    for places in _stretches(voices, plan):
        spans = tuple(plan.spans[place] for place in places)
        begin, end = spans[0].onset, spans[-1].end
        here = [tuple(event for event in voice if begin <= event.onset < end) for voice in voices]
        first = min((voice[0].onset, number) for number, voice in enumerate(here) if voice)[1]
        here[first] = (_called(here[first][0]), *here[first][1:])
        clef = _clef_at(written, places[0])
        readings = tuple(plan.readings[place] for place in places)
        small = write_staff(Staff("", tuple(here)), plan_within(plan, clef, spans, readings))
        for place, bar in zip(places, small.bars, strict=True):
            voices_here = bar.voices
            if place == places[0]:
                voices_here = (_in_clef(voices_here[0], small.clef), *voices_here[1:])
            bars[place] = replace(bars[place], ossia=voices_here)
    return replace(written, bars=tuple(bars))


def _stretches(voices: Sequence[tuple[ScoreEvent, ...]], plan: StaffPlan) -> Iterator[list[int]]:
    """The bars in which a note sounds, those together that follow one another."""
    events = [event for voice in voices for event in voice]

    def sounds(place: int) -> bool:
        span = plan.spans[place]
        return any(event.onset < span.end and span.onset < event.end for event in events)

    yield from (list(run) for has_note, run in groupby(range(len(plan.spans)), key=sounds) if has_note)


def _called(event: ScoreEvent) -> ScoreEvent:
    marks = event.event.marks
    return event.with_marks(replace(marks, words=(OSSIA, *marks.words)))


def _clef_at(written: WrittenStaff, place: int) -> str:
    """The clef in force at the first note of a bar."""
    first = next(leaves(written.bars[place].voices[0]), None)
    return first.clef if first is not None and first.clef else written.clef_before(place)


def _in_clef(items: tuple[WrittenItem, ...], clef: str) -> tuple[WrittenItem, ...]:
    """The items, the first of which tells a clef."""
    first, *rest = items
    if isinstance(first, Leaf):
        return (replace(first, clef=clef), *rest)
    assert isinstance(first, Tuplet)
    return (replace(first, items=_in_clef(first.items, clef)), *rest)
