"""Transforms of time. Durations are exact fractions of a whole note."""

from __future__ import annotations

from fractions import Fraction
from math import lcm

from cavata.diagnostics import Refusal
from cavata.music.event import Event, Motif, Rhythm
from cavata.transforms.order import closed
from cavata.transforms.selection import Selection, bounded, chosen

LARGEST_RATIO = 64
LONGEST, SHORTEST = Fraction(1000), Fraction(1, 100_000)
"""Durations in whole notes, on the way to others; what can be written is narrower still."""


def diminution(motif: Motif, ratio: Fraction) -> Motif:
    """Every duration divided by the ratio."""
    return _scaled(motif, 1 / sensible(ratio))


def augmentation(motif: Motif, ratio: Fraction) -> Motif:
    """Every duration multiplied by the ratio."""
    return _scaled(motif, sensible(ratio))


def sensible(ratio: Fraction) -> Fraction:
    """The ratio; refused if it is beyond all use."""
    if not Fraction(1, LARGEST_RATIO) <= ratio <= LARGEST_RATIO:
        raise Refusal(
            "V206", f"a ratio of {ratio} is beyond use", "",
            f"a ratio lies between 1:{LARGEST_RATIO} and {LARGEST_RATIO}",
            (0, 0),
        )
    return ratio


def _scaled(motif: Motif, factor: Fraction) -> Motif:
    for event in motif.events:
        duration = event.duration * factor
        if not SHORTEST <= duration <= LONGEST:
            raise Refusal(
                "V219",
                f"a note would last more than {LONGEST} whole notes" if factor > 1 else
                f"a note would last less than {SHORTEST} of a whole note",
                "",
                "take a ratio nearer to 1",
                (0, 0),
            )
    return Motif(tuple(event.lasting(event.duration * factor) for event in motif.events))


def in_rhythm(motif: Motif, rhythm: Rhythm, cycle: bool) -> Motif:
    """The rhythm's values given to the events in turn, its rests standing between them.

    The rhythm begins again until the line runs out; with `cycle` both go round until they end
    together, as talea and color do. Rests at the rhythm's end stay where the line ends with it.
    """
    sounding = sum(1 for beat in rhythm.beats if not beat.is_rest)
    if not motif.events or not sounding:
        raise Refusal(
            "V209",
            "{subject} has no note" if not motif.events else "this rhythm has rests only",
            "nothing to give a rhythm to" if not motif.events else "no value for a note",
            "",
            None if not motif.events else (0, 0),
        )
    wanted = len(motif.events)
    if cycle:
        wanted = lcm(wanted, sounding)
    bounded(wanted * len(rhythm.beats) // sounding)
    events: list[Event] = []
    given = 0
    while given < wanted:
        for place, beat in enumerate(rhythm.beats):
            if given == wanted and not all(later.is_rest for later in rhythm.beats[place:]):
                # Of a rhythm that is broken off no rest is left after the last event.
                break
            if beat.is_rest:
                events.append(Event(beat.duration))
            else:
                events.append(motif.events[given % len(motif.events)].lasting(beat.duration))
                given += 1
    return Motif(tuple(events))


def lasting(motif: Motif, duration: Fraction) -> Motif:
    """A single note or chord with that duration."""
    if len(motif.events) != 1:
        raise Refusal(
            "V212",
            f"`lasting` is for a single note or chord; {{subject}} has {len(motif.events)} events",
            "a longer line",
            "`cut to`, `repeated to` or `held last to` give a line its length",
        )
    return Motif((motif.events[0].lasting(duration),))


def cut(motif: Motif, duration: Fraction) -> Motif:
    """The line up to that duration; an event that reaches across is shortened."""
    if motif.duration < duration:
        raise Refusal(
            "V213",
            f"{{subject}} lasts {motif.duration}, less than {duration}",
            f"longer than the line's {motif.duration}",
            "`repeated to` repeats it, `held last to` holds its last note",
            (0, 0),
        )
    return cut_at(motif, duration)


def cut_at(motif: Motif, duration: Fraction) -> Motif:
    """The first part of the line, at most so long."""
    events: list[Event] = []
    left = duration
    for event in motif.events:
        if left <= 0:
            break
        events.append(event if event.duration <= left else event.lasting(left))
        left -= event.duration
    return Motif(closed(events))


def repeated_to(motif: Motif, duration: Fraction) -> Motif:
    """The line again and again, cut where the duration is full."""
    if motif.duration <= 0:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    times = -(-duration // motif.duration)
    bounded(len(motif.events) * int(times))
    return cut_at(Motif(motif.events * int(times)), duration)


def held(motif: Motif, notes: Selection, duration: Fraction) -> Motif:
    """These notes with that duration; the others keep theirs."""
    indices = chosen(motif, notes)
    return Motif(
        tuple(event.lasting(duration) if index in indices else event for index, event in enumerate(motif.events))
    )
