"""Whether a player has time to take up another instrument.

In: a movement as placed. Out: a warning where the rest before a change is too short. Repeats are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise

from cavata.diagnostics.record import Diagnostics
from cavata.score.clock import Clock
from cavata.score.score import Movement, Part, ScoreEvent, bar_at
from cavata.score.whereabouts import in_bars
from cavata.source import Span

ENOUGH = 2
"""Seconds. A choice of ours, on the short side: laying one instrument down and lifting another takes about so long."""


def report_hurried(movement: Movement, parts: Sequence[Part], bag: Diagnostics) -> None:
    """Warn of each item that begins a change for which there is no time; once, however often it comes back.

    Where something is wrong, as two instruments in hand at once, nobody knows what is taken up.
    """
    if not movement.changes or bag.has_errors:
        return
    clock = Clock(movement)
    told: set[tuple[str, Span]] = set()
    for part, staves in zip(parts, movement.staves, strict=True):
        events = sorted(
            (event for staff in staves for voice in staff.voices for event in voice if event.event.heads),
            key=lambda event: event.onset,
        )
        for end, after in _changes(movement, part, events):
            rest = clock.between(end, after.onset)
            if rest < ENOUGH and (part.name, after.line) not in told:
                told.add((part.name, after.line))
                _report(movement, part, after, rest, bag)


def _changes(movement: Movement, part: Part, events: Sequence[ScoreEvent]) -> Iterator[tuple[Fraction, ScoreEvent]]:
    """The first event on each other instrument, with the end of what was played before it.

    A note that goes on into the change is reported as such, and left out here.
    """
    ends = accumulate((event.end for event in events), max)
    for (end, before), (_, after) in pairwise(zip(ends, events, strict=True)):
        held = movement.instrument_of(part, before.onset)
        if held == movement.instrument_of(part, after.onset) or end > after.onset:
            continue
        moments = (m for c in movement.changes if c.part == part.name for m in (c.begin, c.end))
        if not any(before.onset < moment < end for moment in moments):
            yield end, after


def _report(movement: Movement, part: Part, after: ScoreEvent, rest: Fraction, bag: Diagnostics) -> None:
    wanted = movement.instrument_of(part, after.onset).key
    bar = bar_at(movement.bars, after.onset)
    where = in_bars([bar.number] if bar.meter is not None else [])
    time = f"{float(rest):.1f} s of rest" if rest else "no rest"
    bag.warning(
        "P136", after.line, f"`{part.name}` has {time} to take up the {wanted}{where}", "the first note on it",
        "give some seconds of rest before it, or the line to another player; this is a guide: the player knows better",
    )
