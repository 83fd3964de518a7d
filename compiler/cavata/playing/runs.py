"""Runs: moments of a line that follow one another quickly, for families that have a limit of so many a second."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TypeVar

from cavata.playing.finding import Degree
from cavata.playing.line import Moment
from cavata.record import record

EASE = 0.8
"""From this share of a limit on a run wants care."""
BEYOND = 1.05
"""So many times a limit is near it, and care."""
SHORT = 5
"""Notes of a short run, which goes a little faster than one that goes on."""
FEW, FEW_EASE, FEW_MOST = 4, 1.5, 2.5
"""Strokes that are over at once; so many times as fast as a run they want care, and are made by nobody."""
_NEARLY = 0.002

_Played = TypeVar("_Played")


def runs(
    moments: Iterable[Moment], a_second: float, belongs: Callable[[Moment], bool],
    goes_on: Callable[[Moment, Moment], bool] | None = None,
) -> Iterator[list[Moment]]:
    """The moments that belong to a run, cut where one does not follow faster than at so many a second.

    With `goes_on` they are also cut where a moment does not go on from the one before. A moment alone is a run too.
    """
    run: list[Moment] = []
    for moment in moments:
        here = belongs(moment)
        quick = bool(run) and moment.begins - run[-1].begins < 1 / a_second
        if run and not (here and quick and (goes_on is None or goes_on(run[-1], moment))):
            yield run
            run = []
        if here:
            run.append(moment)
    if run:
        yield run


def chained(
    played: Sequence[_Played], goes_on: Callable[[_Played, _Played], bool], least: int
) -> Iterator[list[_Played]]:
    """The rows of at least so many moments or strokes, two or more, each of which goes on from the one before."""
    row = list(played[:1])
    for before, after in pairwise(played):
        if not goes_on(before, after):
            if len(row) >= least:
                yield row
            row = []
        row.append(after)
    if len(row) >= least:
        yield row


def rate_of(run: Sequence[Moment]) -> float:
    """How many moments a second a run of several has."""
    return (len(run) - 1) / (run[-1].begins - run[0].begins)


def fastest_rate(row: Sequence[Moment], notes: int) -> float:
    """Notes a second where a row is fastest over so many of its notes; it must have as many."""
    times = [moment.begins for moment in row]
    return max((notes - 1) / (last - first) for first, last in zip(times, times[notes - 1 :], strict=False))


@record
class Pace:
    """How fast a row of notes goes."""

    most: float
    """Notes a second that nobody of some players goes beyond."""
    notes: int = 8
    """So many in a row, or more."""
    burst: float = 1.1
    """So many times as fast go SHORT notes, before the hand tires."""
    ease: float = EASE
    """The share of it from which on it wants care."""
    strokes: bool = False
    """Each note is a stroke of its own, of a bow or a stick: then a few notes are looked at too."""


@record
class Fast:
    """A run that is too fast, or fast."""

    degree: Degree
    moment: Moment
    """Where the fastest of its notes begin."""
    rate: float
    """Notes a second of those."""
    most: float
    """How many nobody goes beyond there."""

    @property
    def fact(self) -> str:
        """With figures."""
        return f"{self.rate:.1f} notes a second; about {self.most:.0f} are the most"


def too_fast(
    run: Sequence[Moment], pace: Pace, share: Callable[[Sequence[Moment]], float] | None = None
) -> Fast | None:
    """The most hurried place of a run; nothing for one that goes with ease, or has few notes.

    `share` tells how much of the pace some notes have, by what they are.
    """
    windows = [(pace.notes, pace.most, pace.ease), (min(SHORT, pace.notes), pace.burst * pace.most, pace.ease)]
    if pace.strokes and pace.notes > FEW:
        windows.append((FEW, FEW_MOST * pace.most, FEW_EASE / FEW_MOST))
    worst, found = (False, 1.0 + _NEARLY), None
    for notes, most, ease in windows:
        for first in range(len(run) - notes + 1):
            row = run[first : first + notes]
            rate = rate_of(row)
            here = most * (share(row) if share else 1.0)
            cannot = rate > here * (BEYOND + _NEARLY)
            hurry = cannot, rate / (here * ease)
            if hurry > worst:
                worst = cannot, hurry[1] + _NEARLY
                found = Fast(Degree.IMPOSSIBLE if cannot else Degree.CARE, run[first], rate, here)
    return found
