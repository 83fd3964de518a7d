"""Runs: moments of a line that follow one another quickly, for families that have a limit of so many a second."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from cavata.playing.line import Moment


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


def rate_of(run: Sequence[Moment]) -> float:
    """How many moments a second a run of several has."""
    return (len(run) - 1) / (run[-1].begins - run[0].begins)


def fastest_rate(row: Sequence[Moment], notes: int) -> float:
    """Notes a second where a row is fastest over so many of its notes; it must have as many."""
    times = [moment.begins for moment in row]
    return max((notes - 1) / (last - first) for first, last in zip(times, times[notes - 1 :], strict=False))
