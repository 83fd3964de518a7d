"""What sounds on: the pedal of a piano, and the strings of a harp.

In: the voices of one part in a movement. Out: where its pedal goes down and up; until when each string of its harp
rings. A script that writes a pedal for a piano in a movement has its own there. Otherwise the pedal is held through a
beat, and through those after it in the bar as long as what is struck makes no second with what sounds; it is up where
the notes of a beat make seconds themselves, or are staccato. A string of the harp rings until it is struck again,
whatever its pedal makes of it, and four seconds at most; staccato damps it, and so does the end of a section. When
pedals are changed and strings are damped is a choice of ours after common practice; how the foot moves has its source
in the rules.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate

from cavata.perform import rules
from cavata.perform.phrases import PhrasedVoice
from cavata.score.clock import Clock
from cavata.score.score import Movement, ScoreBar, ScoreEvent

HARP_SECONDS = Fraction(4)
"""The longest that a string rings."""
_SECONDS = (1, 2, 10, 11)
"""Semitones of seconds and sevenths between two notes, octaves aside."""
_DRY = frozenset(["staccato", "staccatissimo"])

Pedals = tuple[tuple[Fraction, bool], ...]
"""Moments in whole notes, and whether the pedal goes down."""


def pedals(movement: Movement, voices: Sequence[PhrasedVoice], clock: Clock) -> Pedals:
    """The pedal of a piano, where the script has none."""
    events = [event for voice in voices for event in voice.events]
    if any(event.event.marks.pedal_begins for event in events):
        return ()
    found = tuple(_feet(list(_changes(movement, events)), clock))
    return (*found, (movement.duration, False)) if found and found[-1][1] else found


def _changes(movement: Movement, events: Sequence[ScoreEvent]) -> Iterator[tuple[Fraction, bool]]:
    """Beats at which the pedal is changed, and whether it is down after it."""
    beats = [beat for bar in movement.bars for beat in _beats(bar)]
    struck: list[list[ScoreEvent]] = [[] for _ in beats]
    for event in events:
        struck[max(0, bisect_right(beats, event.onset) - 1)].append(event)
    bars = {bar.onset for bar in movement.bars}
    sounding: frozenset[int] = frozenset()
    down = False
    for beat, here in zip(beats, struck, strict=True):
        tones = frozenset(head.pitch.midi % 12 for event in here for head in event.event.heads)
        dry = any(_DRY.intersection(event.event.marks.articulations) for event in here)
        wanted = bool(tones) and not dry and not _clash(tones)
        if not here and not any(event.onset < beat < event.end for event in events):
            wanted, dry = False, True
        elif not here:
            continue
        if wanted and down and beat not in bars and not _clash(sounding | tones):
            sounding |= tones
            continue
        if wanted or down:
            yield max(beat, Fraction(0)), wanted
        down, sounding = wanted, tones


def _beats(bar: ScoreBar) -> Iterator[Fraction]:
    """The beats of a bar, as they are felt; in free time quarters."""
    lengths = [Fraction(group, bar.meter.denominator) for group in bar.meter.groups] if bar.meter else []
    if not lengths:
        lengths = [Fraction(1, 4)] * max(1, int(bar.duration * 4))
    begin = bar.begin
    if bar.leads_on and bar.meter is not None and not bar.before:
        begin = bar.end - bar.meter.duration
    moments = accumulate(lengths[:-1], initial=begin)
    found = [moment for moment in moments if bar.onset <= moment < bar.end]
    return iter(sorted({bar.onset, *found}))


def _clash(tones: frozenset[int]) -> bool:
    return any((one - other) % 12 in _SECONDS for one in tones for other in tones)


def _feet(changes: Sequence[tuple[Fraction, bool]], clock: Clock) -> Iterator[tuple[Fraction, bool]]:
    """The foot: up with the new note, down a little after it; the last change is in force to the end."""
    was_down = False
    for (moment, down), following in zip(changes, [*changes[1:], None], strict=False):
        if was_down:
            yield moment, False
        if down:
            wait = rules.PEDAL_AGAIN if was_down else rules.PEDAL_FIRST
            room = Fraction(1) if following is None else following[0] - moment
            seconds = float(clock.between(moment, moment + room)) * 1000
            share = Fraction(round(min(wait / seconds, 0.5) * 10_000), 10_000) if seconds else Fraction(1, 2)
            yield moment + room * share, True
        was_down = down


def ringing(
    movement: Movement, voices: Sequence[PhrasedVoice], clock: Clock
) -> dict[tuple[int, int, Fraction], Fraction]:
    """Until when the strings of a harp ring: by staff, voice and onset of what strikes them."""
    strikes: dict[int, list[Fraction]] = {}
    for voice in voices:
        for event in voice.events:
            for head in event.event.heads:
                strikes.setdefault(head.pitch.position, []).append(event.onset)
    for moments in strikes.values():
        moments.sort()
    damped = [*(section.onset for section in movement.sections), movement.duration]
    damped.sort()
    return {
        (*voice.key[1:], event.onset): _until(event, strikes, damped, clock)
        for voice in voices
        for event in voice.events
        if not _DRY.intersection(event.event.marks.articulations)
    }


def _until(
    event: ScoreEvent, strikes: dict[int, list[Fraction]], damped: Sequence[Fraction], clock: Clock
) -> Fraction:
    """When the first of an event's strings is struck again or damped, but not before its written end."""
    ends = [damped[min(bisect_right(damped, event.onset), len(damped) - 1)]]
    for head in event.event.heads:
        moments = strikes[head.pitch.position]
        again = bisect_right(moments, event.onset)
        if again < len(moments):
            ends.append(moments[again])
    until = min(ends)
    seconds = clock.between(event.onset, until)
    if seconds > HARP_SECONDS:
        until = event.onset + (until - event.onset) * HARP_SECONDS / seconds
    return max(until, event.end) if until > event.onset else event.end
