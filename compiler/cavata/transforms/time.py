"""Transforms of time. Durations are exact fractions of a whole note."""

from __future__ import annotations

from fractions import Fraction
from math import lcm

from cavata.diagnostics import Refusal
from cavata.music.event import Event, Marks, Motif, Rhythm, last_marks
from cavata.music.lengths import LONGEST
from cavata.record import replace
from cavata.transforms.order import closed
from cavata.transforms.pitches import joined_heads
from cavata.transforms.selection import Selection, bounded, chosen

LARGEST_RATIO = 64
SHORTEST = Fraction(1, 100_000)
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
            "V206", f"a ratio of {ratio} is out of range", "",
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


def held(motif: Motif, duration: Fraction) -> Motif:
    """One note or chord, sustained for that duration."""
    if len(motif.events) != 1:
        raise Refusal(
            "V212",
            f"`held` sustains one note or chord; {{subject}} has {len(motif.events)} events",
            "several events" if motif.events else "nothing to sustain",
            "`for` repeats and cuts, `lengthened last to` gives one note another duration",
        )
    return Motif((motif.events[0].lasting(duration),))


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


def filling(motif: Motif, duration: Fraction) -> Motif:
    """The line again and again, cut where the duration is full; an event that reaches across is shortened."""
    if motif.duration <= 0:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    times = turns_to_fill(motif, duration)
    whole = Motif(motif.events * times)
    return padded(whole, duration) if whole.duration < duration else cut_at(whole, duration)


def turns_to_fill(motif: Motif, duration: Fraction) -> int:
    """How often a line begins until a duration is full; an upbeat alone, which would lead to nothing, is not begun."""
    times, left = int(-(-duration // motif.duration)), duration % motif.duration
    times -= bool(motif.upbeat) and 0 < left <= motif.upbeat and times > 1
    bounded(len(motif.events) * times)
    return times


def lengthened(motif: Motif, notes: Selection | None, duration: Fraction) -> Motif:
    """These notes with that duration; the others keep theirs."""
    indices = chosen(motif, notes)
    return Motif(
        tuple(event.lasting(duration) if index in indices else event for index, event in enumerate(motif.events))
    )


# ----------------------------------------------------------------
# Ties: notes that come again are held on.


def tied(motif: Motif, notes: Selection | None = None) -> Motif:
    """These notes, or all, held on where the next note or chord is the same; nobody strikes it again."""
    return lines_tied((motif,), notes)[0]


def lines_tied(lines: tuple[Motif, ...], notes: Selection | None = None) -> tuple[Motif, ...]:
    """The lines, each with its own ties; refused where no line has any."""
    found = tuple(_tied(line, notes) for line in lines)
    if found == lines:
        raise Refusal(
            "V835", "nothing in {subject} can be tied", "no note is followed by itself",
            "of chords those are tied that come again whole; `voiced across` makes a line of each voice",
        )  # fmt: skip
    return found


def _tied(line: Motif, notes: Selection | None) -> Motif:
    indices = chosen(line, notes) if line.sounding else frozenset()
    events: list[Event] = []
    holds = False
    for index, event in enumerate(line.events):
        before = events[-1] if events else None
        if holds and before is not None and _goes_on(before, event):
            heads = joined_heads([*before.heads, *event.heads])
            lasting = before.duration + event.duration
            events[-1] = replace(before, duration=lasting, heads=heads, marks=_tied_marks(before.marks, event.marks))
        else:
            events.append(event)
        holds = index in indices
    return line.having(tuple(events))


def _goes_on(before: Event, event: Event) -> bool:
    """Whether a note is the one before it again, with nothing to be said where it would be struck."""
    same = bool(event.heads) and [head.pitch for head in event.heads] == [head.pitch for head in before.heads]
    return same and last_marks(event.marks) == replace(event.marks, slur_begins=False, said=())


def _tied_marks(before: Marks, after: Marks) -> Marks:
    """What stands at a note that is held on: what ends with it, and a slur that leads on from it."""
    marks = before.joined(after)
    begins, ends = before.slur_begins and not after.slur_ends, after.slur_ends and not before.slur_begins
    return replace(marks, slur_begins=begins or after.slur_begins, slur_ends=ends or before.slur_ends)


# ----------------------------------------------------------------
# Lines that sound together: each with a rest at its end until the longest is done, so that they stay together.


def padded(line: Motif, duration: Fraction) -> Motif:
    """A line with a rest until the others are done."""
    missing = duration - line.duration
    return line.having((*line.events, Event(missing))) if missing > 0 else line


def lines_repeated(lines: tuple[Motif, ...], times: int) -> tuple[Motif, ...]:
    """The lines so many times in all."""
    if times < 1:
        raise Refusal("V206", f"lines cannot be repeated {times} times", "", "write a number from 1 up", (0, 0))
    bounded(sum(len(line.events) for line in lines) * times)
    whole = max(line.duration for line in lines)
    return tuple(Motif(padded(line, whole).events * times) for line in lines)


def lines_filling(lines: tuple[Motif, ...], duration: Fraction) -> tuple[Motif, ...]:
    """The lines again and again, cut where the duration is full."""
    whole = max(line.duration for line in lines)
    return tuple(filling(padded(line, whole), duration) for line in lines)
