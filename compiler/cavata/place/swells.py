"""Hairpins over bars: what several parts play is one swell.

In: a marking such as `brass bars 1 to 8: crescendo pp ff`, and the lines that it is for. Out: the same lines, dressed.
Holds after: the swell begins with the first note of all of them and comes to its end in all at one moment; who enters
later enters at the level that it has reached, and who is done sooner ends at that; no other hairpin is under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.evaluate.plan import PlannedMarking
from cavata.music.event import LEVELS, NOTHING, Event, Marks, told
from cavata.music.said import dressed_at
from cavata.place.staves import StaffBuilder
from cavata.record import record, replace
from cavata.score.score import ScoreEvent
from cavata.source import Span
from cavata.transforms.dress import hairpin_begins, hairpin_ends

SwellKey = tuple[str, str]
"""A part and a staff of it."""


@record
class Swell:
    """A hairpin of several lines in clock time of the score."""

    kind: str
    begin: str
    end: str
    onset: Fraction
    arrival: Fraction
    span: Span
    """Where it was said."""

    def level(self, moment: Fraction) -> str:
        """The dynamic that it has come to at a moment; empty where its ends do not say a way."""
        if moment <= self.onset or moment >= self.arrival:
            return self.begin if moment <= self.onset else self.end
        if self.begin not in LEVELS or self.end not in LEVELS:
            return ""
        first, last = LEVELS.index(self.begin), LEVELS.index(self.end)
        way = (last - first) * (moment - self.onset) / (self.arrival - self.onset)
        most = abs(last - first) - 1
        return LEVELS[first + max(-most, min(most, round(way)))]


def swell_together(
    marking: PlannedMarking, keys: Sequence[SwellKey], bars: tuple[Fraction, Fraction, Fraction], beat: Fraction,
    staves: StaffBuilder,
) -> bool:
    """Dress all lines of some staves as one swell; False where it would have no length.

    `bars` are the beginning of the first bar, the beginning of the last one, and its end.
    """
    begin, last, end = bars
    onset = min(staves.events[key][line[0]].onset for key, line in _lines(keys, begin, end, staves))
    _, first, goal = (str(argument) for argument in marking.step.arguments)
    if goal == NOTHING:
        # Silence is reached where the last notes end, not where they begin.
        ends = [staves.events[key][line[-1]].end for key, line in _lines(keys, begin, end, staves)]
        arrival = min(end, max(ends))
        for part, staff in keys:
            staves.divide(part, staff, arrival)
    else:
        there = [e for key in keys for e in staves.events[key] if e.onset < end and begin < e.end]
        arrival = _arrival(there, onset, bars)
        if arrival <= onset:
            arrival = end - beat
        if arrival <= onset or not _can_arrive(there, arrival):
            return False
        for part, staff in keys:
            staves.divide(part, staff, arrival)
    swell = Swell(marking.step.transform.word, first, goal, onset, arrival, marking.step.span)
    for key, line in _lines(keys, begin, end, staves):
        onsets = {index: staves.events[key][index].onset for index in line}
        fades = goal == NOTHING
        _dress(swell, key, [i for i in line if onsets[i] < arrival or (onsets[i] == arrival and not fades)], staves)
    return True


def led_by(
    leader: SwellKey, key: SwellKey, marking: PlannedMarking, bars: tuple[Fraction, Fraction], staves: StaffBuilder
) -> None:
    """Dress another hand of a player with the swell of the one that has it on the page; its notes are not divided."""
    _, first, goal = (str(argument) for argument in marking.step.arguments)
    span = marking.step.span
    own = [
        event for line in staves.between(*leader, *bars) for event in map(staves.events[leader].__getitem__, line)
        if any(said.span == span and said.kind in ("hairpin", "end of hairpin") for said in event.event.marks.said)
    ]  # fmt: skip
    if not own:
        return
    onset, last = min(event.onset for event in own), max(own, key=lambda event: event.onset)
    arrival = last.end if last.event.marks.goal else last.onset
    swell = Swell(marking.step.transform.word, first, goal, onset, arrival, span)
    for line in staves.between(*key, *bars):
        within = [index for index in line if staves.events[key][index].onset <= min(arrival, last.onset)]
        _dress(swell, key, within, staves)
        for index in {*within[:1], *within[-1:]}:
            event = staves.events[key][index].event
            staves.replace(*key, index, replace(event, marks=replace(event.marks, led=True)))


def covering(part: str, among: Sequence[str], begin: Fraction, end: Fraction, staves: StaffBuilder) -> str:
    """The first of some staves that plays as long as the others do: none begins before its first note is over, or after
    its last one is. Empty if there is none.
    """
    spans = {}
    for staff in among:
        lines = staves.between(part, staff, begin, end)
        events = [staves.events[part, staff][index] for line in lines for index in line]
        first, last = min(events, key=lambda event: event.onset), max(events, key=lambda event: event.onset)
        spans[staff] = first, last
    opens, closes = min(first.end for first, _ in spans.values()), max(last.onset for _, last in spans.values())
    return next((staff for staff, (first, last) in spans.items() if first.onset < opens and closes < last.end), "")


def _lines(
    keys: Sequence[SwellKey], begin: Fraction, end: Fraction, staves: StaffBuilder
) -> Iterator[tuple[SwellKey, list[int]]]:
    for part, staff in keys:
        for line in staves.between(part, staff, begin, end):
            yield (part, staff), line


def _arrival(there: Sequence[ScoreEvent], onset: Fraction, bars: tuple[Fraction, Fraction, Fraction]) -> Fraction:
    """The moment of the last bar, of its second half if it can be, at which a note begins and the fewest are held over
    it; of several the last. `there` is what sounds in the bars."""
    begin, last, end = bars
    onsets = {event.onset for event in there if event.onset >= begin}
    near = [event for event in there if last < event.end]
    late = [moment for moment in onsets if moment >= last and moment > onset and _can_arrive(near, moment)]
    if late:
        late = [moment for moment in late if 2 * moment >= last + end] or late
        return min(late, key=lambda moment: (len(_held(near, moment)), -moment))
    return last if _held(near, last) else max(onsets)


def _held(events: Sequence[ScoreEvent], moment: Fraction) -> list[ScoreEvent]:
    return [event for event in events if event.onset < moment < event.end]


def _can_arrive(events: Sequence[ScoreEvent], moment: Fraction) -> bool:
    """Whether every note that is held over a moment can be divided there."""
    return all(event.can_be_divided(moment) for event in _held(events, moment))


def _dress(swell: Swell, key: SwellKey, line: Sequence[int], staves: StaffBuilder) -> None:
    if not line:
        return
    first, last = (staves.events[key][index] for index in (line[0], line[-1]))
    enters = swell.level(first.onset)
    dies_away = swell.end == NOTHING and last.end == swell.arrival
    reached = swell.end if dies_away else swell.level(last.onset)
    if first is last:
        marks, leaves = told("" if enters == NOTHING else enters), swell.level(min(first.end, swell.arrival))
        if first.onset != swell.arrival and leaves != enters:
            marks = hairpin_begins(swell.kind, enters, leaves).joined(hairpin_ends(leaves, True))
        _mark(key, line[0], marks, swell.span, staves)
        return
    _mark(key, line[0], hairpin_begins(swell.kind, enters, reached), swell.span, staves)
    _mark(key, line[-1], hairpin_ends("" if reached == enters else reached, False), swell.span, staves)


def _mark(key: SwellKey, index: int, marks: Marks, span: Span, staves: StaffBuilder) -> None:
    event = staves.events[key][index].event
    staves.replace(*key, index, *dressed_at((event,), (event.marked(marks),), span))


# ----------------------------------------------------------------
# Hairpins that notes have already, where another is laid over them.
#
# In: the lines of a marking. Out: the lines without them; a warning tells where they came from.


def clear_hairpins(
    marking: PlannedMarking, keys: Sequence[SwellKey], begin: Fraction, end: Fraction, staves: StaffBuilder
) -> None:
    """Take away the hairpins under a hairpin over bars, and the dynamics at their ends."""
    for key, line in _lines(keys, begin, end, staves):
        for place, index in enumerate(line):
            placed = staves.events[key][index]
            cleared = _cleared(placed.event, place == 0, place + 1 == len(line))
            if cleared is not placed.event:
                staves.replace(*key, index, *dressed_at((placed.event,), (cleared,), marking.step.span))
                staves.warn_once(
                    key[0], placed, f"hairpin {marking.span.start}", "P140",
                    "a hairpin over these bars replaces one that the notes have", "this item has the hairpin",
                    "take one of the two away, or let the bars end before the other begins",
                    also=((marking.span, "the one over the bars"),),
                )  # fmt: skip


def _cleared(event: Event, first: bool, last: bool) -> Event:
    """The event without a hairpin; one that ends where the other begins stays, and one that begins where it ends."""
    marks = event.marks
    begins = bool(marks.hairpin) and not (last and not marks.hairpin_ends)
    ends = marks.hairpin_ends and (bool(marks.hairpin) or not first)
    if not begins and not ends:
        return event
    kept = replace(
        marks, dynamic="", hairpin="" if begins else marks.hairpin, hairpin_ends=marks.hairpin_ends and not ends,
        goal="", led=False,
    )  # fmt: skip
    return replace(event, marks=kept)
