"""Two voices on one staff: which lines share it, what may sound at once, and what need not be said twice.

In: the lines of a texture and the one part that gets them; then the events of a staff, each with its voice. Out: for
each line its staff and voice; the staff's voices in order. Holds after: of two lines on one staff the one that lies
higher is the upper voice; a dynamic or hairpin that both voices have at one moment stands in the upper one only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import Motif
from cavata.record import replace
from cavata.score.score import ScoreEvent

VOICES = 2
"""So many lines can share a staff."""


def shared_out(
    lines: tuple[Motif, ...], staves: tuple[str, ...], pitched: bool
) -> tuple[tuple[str, int, Motif], ...]:
    """For each line its staff and its voice there, 0 for the upper; nothing if the staves cannot hold just these lines.

    Two lines take a staff each where there are two, the first the upper one; else they share it, the higher above, or
    on an unpitched part the first.
    """
    if len(lines) == len(staves):
        return tuple((staff, 0, line) for staff, line in zip(staves, lines, strict=True))
    if len(lines) != VOICES * len(staves):
        return ()
    return tuple(
        (staff, voice, line)
        for number, staff in enumerate(staves)
        for voice, line in enumerate(_higher_first(lines[VOICES * number : VOICES * (number + 1)], pitched))
    )


def _higher_first(lines: tuple[Motif, ...], pitched: bool) -> tuple[Motif, ...]:
    """Of two lines the one that lies higher before the other; of equals the first stays first."""
    first, second = lines
    return lines if not pitched or _height_over(first, second) >= 0 else (second, first)


def _height_over(first: Motif, second: Motif) -> Fraction:
    """By how much the first line lies higher: summed up where both sound, else from one average to the other."""
    over, both = Fraction(0), False
    ours, theirs = list(_spans(first)), list(_spans(second))
    here = there = 0
    while here < len(ours) and there < len(theirs):
        (begin, end, key), (other_begin, other_end, other_key) = ours[here], theirs[there]
        shared = min(end, other_end) - max(begin, other_begin)
        if shared > 0:
            over, both = over + shared * (key - other_key), True
        if end <= other_end:
            here += 1
        else:
            there += 1
    return over if both else _average(first) - _average(second)


def _spans(line: Motif) -> Iterator[tuple[Fraction, Fraction, int]]:
    """Beginning, end and highest key of every note."""
    onset = Fraction(0)
    for event in line.events:
        if event.heads:
            yield onset, onset + event.duration, event.heads[-1].pitch.midi
        onset += event.duration


def _average(line: Motif) -> Fraction:
    keys = [key for _, _, key in _spans(line)]
    return Fraction(sum(keys), len(keys)) if keys else Fraction(0)


def apart(events: Sequence[ScoreEvent]) -> tuple[tuple[ScoreEvent, ...], ...]:
    """The events of a staff voice by voice; one voice where none has a second."""
    if not any(event.voice for event in events):
        return (tuple(events),)
    upper = tuple(event for event in events if event.voice == 0)
    lower = tuple(event for event in events if event.voice)
    return upper, said_once(upper, lower)


def clash(events: Sequence[ScoreEvent]) -> tuple[ScoreEvent, ScoreEvent] | None:
    """Two events that sound at once but may not: in one voice, or in two voices of different items."""
    latest: dict[int, ScoreEvent] = {}
    for event in events:
        for voice, before in latest.items():
            if event.follows(before) or before.end <= event.onset:
                continue
            if voice == event.voice or before.line != event.line:
                return before, event
        latest[event.voice] = event
    return None


def said_once(upper: Sequence[ScoreEvent], lower: Sequence[ScoreEvent]) -> tuple[ScoreEvent, ...]:
    """The lower voice without the dynamics, hairpins, words and techniques that the upper one has at the moment."""
    above = {event.onset: event.event.marks for event in upper}
    told: list[ScoreEvent] = []
    taken = False
    end, goal = Fraction(0), ""
    for event in lower:
        marks, over = event.event.marks, above.get(event.onset)
        changed = marks
        if taken and marks.hairpin_ends:
            taken = False
            known = marks.dynamic == goal and end <= event.onset
            changed = replace(marks, hairpin_ends=False, dynamic="" if known else marks.dynamic)
        if over is not None and marks:
            if marks.hairpin and marks.hairpin == over.hairpin:
                changed, taken = replace(changed, hairpin=""), True
                end, goal = _goal(upper, event.onset)
            if marks.dynamic and marks.dynamic == over.dynamic:
                changed = replace(changed, dynamic="")
            changed = replace(
                changed,
                words=tuple(word for word in changed.words if word not in over.words),
                techniques=tuple(word for word in changed.techniques if word not in over.techniques),
            )
        told.append(event if changed == marks else replace(event, event=replace(event.event, marks=changed)))
    return tuple(told)


def _goal(upper: Sequence[ScoreEvent], onset: Fraction) -> tuple[Fraction, str]:
    """When the hairpin that the upper voice begins at a moment has come to its end, and the dynamic it leads to."""
    for event in upper:
        marks = event.event.marks
        if event.onset == onset and marks.hairpin_ends and marks.goal:
            return event.end, marks.goal
        if event.onset > onset and marks.hairpin_ends:
            return event.onset, marks.dynamic
    return onset, ""
