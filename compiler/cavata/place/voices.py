"""Two voices on one staff: which lines share it, what may sound at once, and what need not be said twice.

In: the lines of a texture and the one part that gets them; then the events of a staff, each with its voice. Out: for
each line its staff and voice; the staff's voices in order. Holds after: of two lines on one staff the one that lies
higher is the upper voice; a dynamic or hairpin that both voices have at one moment stands in the upper one only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostic
from cavata.music.event import NOTHING, UNMARKED, Marks, Motif
from cavata.record import record, replace
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


def in_one_voice(events: Sequence[ScoreEvent]) -> Sequence[ScoreEvent]:
    """The lines of two parts on a staff that a version gave both: in two voices only if they sound at once."""
    one = [replace(event, voice=0) if event.voice else event for event in events]
    return one if clash(one) is None else events


@record
class Clash:
    """Two lines that sound at once but may not: on which staff, and the message, in which `{place}` stands for it and
    for all others where the same two meet."""

    place: str
    message: Diagnostic


def clash(events: Sequence[ScoreEvent], of_two_parts: bool = False) -> tuple[ScoreEvent, ScoreEvent] | None:
    """Two events that sound at once but may not: in one voice, or in two voices of different items.

    `of_two_parts`: a version gave the staff the lines of two, and these are its voices.
    """
    latest: dict[int, ScoreEvent] = {}
    for event in events:
        for voice, before in latest.items():
            if event.follows(before) or before.end <= event.onset:
                continue
            if voice == event.voice or (before.line != event.line and not of_two_parts):
                return before, event
        latest[event.voice] = event
    return None


def unled(voice: Sequence[ScoreEvent]) -> tuple[ScoreEvent, ...]:
    """The voice without the hairpins that another hand of its player has for both, and the dynamics at their ends."""
    return tuple(
        event.with_marks(replace(
            event.event.marks, dynamic="", hairpin="", hairpin_ends=False, goal="", led=False
        )) if event.event.marks.led else event for event in voice
    )  # fmt: skip


def said_once(upper: Sequence[ScoreEvent], lower: Sequence[ScoreEvent]) -> tuple[ScoreEvent, ...]:
    """The lower voice without the dynamics, hairpins, words and techniques that the upper one has at the moment.

    Hairpins that begin together are one if they come to their ends together; else each voice has its own.
    """
    lower = unled(lower)
    above: dict[Fraction, Marks] = {}
    for event in upper:
        above[event.onset] = above.get(event.onset, UNMARKED).joined(event.event.marks)
    theirs, ours = _swells(upper), _swells(lower)
    shared = {onset for onset, swell in ours.items() if onset in theirs and swell.is_told_by(theirs[onset])}
    told: list[ScoreEvent] = []
    taken = False
    for event in lower:
        marks, over = event.event.marks, above.get(event.onset)
        changed = marks
        if taken and marks.hairpin_ends:
            goal = "" if marks.dies_away else changed.goal
            taken, changed = False, replace(changed, hairpin_ends=False, goal=goal)
        if over is not None and marks:
            if event.onset in shared:
                alone = ours[event.onset].alone
                taken = not alone
                changed = replace(changed, hairpin="", goal="", hairpin_ends=changed.hairpin_ends and not alone)
            changed = replace(
                changed,
                dynamic="" if marks.dynamic == over.dynamic else marks.dynamic,
                attack="" if marks.attack == over.attack else marks.attack,
                words=tuple(word for word in changed.words if word not in over.words),
                techniques=tuple(word for word in changed.techniques if word not in over.techniques),
            )
        told.append(event if changed == marks else event.with_marks(changed))
    return tuple(told)


@record
class _Swell:
    """A hairpin: which, the beginning and the end of the note that ends it, and the dynamic there."""

    kind: str
    arrives: Fraction
    over: Fraction
    goal: str
    alone: bool
    """It begins and ends on one note, so that it is at its goal when the note is over."""

    def is_told_by(self, other: _Swell) -> bool:
        """Whether another one that begins with it tells its player the same: both are at their ends at one time."""
        if self.kind != other.kind or self.over <= other.arrives or other.over <= self.arrives:
            return False
        # The goal of one on a single note is printed with its hairpin only.
        return not self.alone or (self.goal == other.goal and not (other.alone and self.over < other.over))


def _swells(voice: Sequence[ScoreEvent]) -> dict[Fraction, _Swell]:
    """The hairpins of a voice, or of both on a staff, by the onsets at which they begin."""
    found: dict[Fraction, _Swell] = {}
    begun: dict[int, tuple[Fraction, str]] = {}
    for event in voice:
        marks = event.event.marks
        if event.voice in begun and marks.hairpin_ends:
            onset, kind = begun.pop(event.voice)
            goal = NOTHING if marks.dies_away else " ".join(marks.loud)
            found[onset] = _Swell(kind, event.onset, event.end, goal, False)
        elif marks.hairpin and marks.hairpin_ends:
            found[event.onset] = _Swell(marks.hairpin, event.onset, event.end, marks.goal, True)
            continue
        if marks.hairpin:
            begun[event.voice] = event.onset, marks.hairpin
    return found
