"""Where phrases begin and end, in each voice and for all together.

In: the voices of a movement. Out: for each voice its phrases, and within them parts of phrases, as stretches of its
events; and the moments at which the whole begins a new phrase. A phrase of a voice ends before a rest of a quarter or
more, at the end of a section, at a breath mark, a caesura and a division of chant; a part of one also before any other
rest and at the end of a slur over four notes or more. For all together one begins with a section, and where half of the
voices that sound begin one.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import AFTER_NOTE, Event, last_marks
from cavata.record import record, replace
from cavata.score.score import Movement, ScoreEvent

REST = Fraction(1, 4)
"""A rest of that length ends a phrase."""
LONG_SLUR = 4
"""Notes under one slur that make a part of a phrase."""


def untied(voice: Sequence[ScoreEvent]) -> Sequence[ScoreEvent]:
    """The voice with notes that were divided for the page made whole again."""
    if not any(event.tied_before for event in voice):
        return voice
    whole: list[ScoreEvent] = []
    for event in voice:
        if not event.tied_before:
            whole.append(event)
            continue
        before = whole[-1].event
        marks = before.marks.joined(replace(last_marks(event.event.marks), dynamic="", attack=""))
        joined = Event(before.duration + event.event.duration, before.heads, marks)
        whole[-1] = replace(whole[-1], event=joined)
    return whole


def slurred(voice: Sequence[ScoreEvent]) -> Iterator[bool]:
    """For each event of a voice whether a slur leads on from it."""
    under = False
    for event in voice:
        under = event.event.marks.slur_begins or (under and not event.event.marks.slur_ends)
        yield under


@record
class Phrase:
    """A stretch of a voice's events: the indices of its first and of the one after its last."""

    first: int
    end: int


EventKey = tuple[int, int, int]
"""Which voice it is: the number of its part, its staff and itself."""


@record
class PhrasedVoice:
    """A voice as it is played, with its phrases."""

    key: EventKey
    events: tuple[ScoreEvent, ...]
    phrases: tuple[Phrase, ...]
    members: tuple[Phrase, ...]
    """The parts of its phrases; a phrase that has none is its own only part."""
    onsets: tuple[Fraction, ...]


def voices_of(movement: Movement) -> tuple[PhrasedVoice, ...]:
    """Every voice of a movement that has notes."""
    return tuple(
        _voice(movement, (part, staff_number, number), tuple(untied(voice)))
        for part, staves in enumerate(movement.staves)
        for staff_number, staff in enumerate(staves)
        for number, voice in enumerate(staff.voices)
        if voice
    )


def _voice(movement: Movement, key: EventKey, events: tuple[ScoreEvent, ...]) -> PhrasedVoice:
    ends = list(_ends(events, [section.onset for section in movement.sections]))
    phrases = _stretches([index for index, level in ends if level == 2])
    members = _stretches([index for index, _ in ends])
    return PhrasedVoice(key, events, phrases, members, tuple(event.onset for event in events))


def _stretches(lasts: Sequence[int]) -> tuple[Phrase, ...]:
    firsts = [0, *(last + 1 for last in lasts)]
    return tuple(Phrase(first, last + 1) for first, last in zip(firsts, lasts, strict=False))


def _ends(events: Sequence[ScoreEvent], sections: Sequence[Fraction]) -> Iterator[tuple[int, int]]:
    """The index of every event that ends a phrase (2) or a part of one (1)."""
    slurred = 0
    section = bisect_right(sections, events[0].onset)
    for index, event in enumerate(events):
        marks = event.event.marks
        slurred = 1 if marks.slur_begins else slurred + 1 if slurred else 0
        long = marks.slur_ends and slurred >= LONG_SLUR
        if marks.slur_ends and not marks.slur_begins:
            slurred = 0
        if index + 1 == len(events):
            yield index, 2
            return
        following = events[index + 1].onset
        silence = following - event.end
        new_section = section < len(sections) and sections[section] <= following
        if new_section:
            section = bisect_right(sections, following)
        if silence >= REST or marks.division or new_section or AFTER_NOTE.intersection(marks.articulations):
            yield index, 2
        elif silence > 0 or long:
            yield index, 1


def common_beginnings(voices: Sequence[PhrasedVoice], movement: Movement, whole: bool) -> tuple[Fraction, ...]:
    """Where all together begin a phrase, or if not `whole` a part of one; the movement's beginning is the first."""
    begin = [
        {voice.events[phrase.first].onset for phrase in (voice.phrases if whole else voice.members)}
        for voice in voices
    ]
    found = {Fraction(0), *(section.onset for section in movement.sections)}
    for moment in set().union(*begin):
        sounding = sum(_sounds(voice, moment) for voice in voices)
        if 2 * sum(moment in onsets for onsets in begin) >= sounding:
            found.add(moment)
    return tuple(sorted(moment for moment in found if moment < movement.duration))


def _sounds(voice: PhrasedVoice, moment: Fraction) -> bool:
    """Whether a voice has a note at a moment, just struck or held."""
    index = bisect_right(voice.onsets, moment) - 1
    return index >= 0 and voice.events[index].end > moment
