"""How far the runs of LilyPond have come, and about how long they will take yet.

In: what each run says of itself, by threads of their own. Out: a line of text now and then. The time left is reckoned
from earlier runs of this machine, kept in the user's cache folder, and from the phases as they pass; where there are
none yet, none is told.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from statistics import median
from threading import Lock

from cavata.cache import TIMES, key_of
from cavata.lilypond.engraving import Phase

_SHARES = {
    Phase.STARTING: 0.0, Phase.READING: 0.05, Phase.SPACING: 0.3, Phase.PAGING: 0.6, Phase.DRAWING: 0.75,
    Phase.WRITING: 0.9,
}  # fmt: skip
"""How much of a run has passed when a phase begins."""
_START_UP = 0.25
"""Seconds before LilyPond reads its first note, about."""
_REMEMBERED = 24
"""Earlier runs that the reckoning goes by."""
_RUNS = key_of("runs")
_SHORTEST_TOLD = 2
"""Seconds; less is not worth a word."""


class Run:
    """One run of LilyPond."""

    def __init__(self, size: int, expected: float | None, tell: Callable[[], None]) -> None:
        self.size = size
        self.expected = expected
        """Seconds that it will take in all, as far as we know."""
        self.began: float | None = None
        self._tell = tell

    def hear(self, phase: Phase) -> None:
        """The run has come to a phase."""
        now = time.monotonic()
        if self.began is None:
            self.began = now
        elsewhere = (now - self.began) / _SHARES[phase] if _SHARES[phase] else 0
        if elsewhere > 1 and self.expected is not None:
            self.expected = (self.expected + elsewhere) / 2
        self._tell()

    @property
    def left(self) -> float | None:
        """Seconds yet to come."""
        if self.expected is None or self.began is None:
            return self.expected
        return max(self.expected - (time.monotonic() - self.began), self.expected / 20)


class StandingRuns:
    """All runs of a build."""

    def __init__(self, at_once: int, say: Callable[[str], None] | None) -> None:
        self._at_once = at_once
        self._say = say
        self._lock = Lock()
        self._running: list[Run] = []
        self._done = 0
        self._rate = _rate(_remembered()) if say else None

    @property
    def watched(self) -> bool:
        """Whether there is someone to tell."""
        return self._say is not None

    def begins(self, text: str) -> Run:
        """A text is to be engraved."""
        size = text.count("\n")
        run = Run(size, None if self._rate is None else _START_UP + size * self._rate, self.tell)
        with self._lock:
            self._running.append(run)
        return run

    def ends(self, run: Run, well: bool) -> None:
        """A run has ended."""
        with self._lock:
            self._running.remove(run)
            self._done += 1
            if well and self._say and run.began is not None:
                _remember(run.size, time.monotonic() - run.began)

    def tell(self) -> None:
        """Say how far it is."""
        if self._say:
            with self._lock:
                self._say(self._line())

    def _line(self) -> str:
        total = self._done + len(self._running)
        what = "engraving" if total < 2 else f"engraving: {self._done} of {total} sheets done"
        left = self._left()
        return what if left is None or left < _SHORTEST_TOLD else f"{what}, {_about(left)} left"

    def _left(self) -> float | None:
        each = [run.left for run in self._running]
        known = [seconds for seconds in each if seconds is not None]
        if not known or len(known) < len(each):
            return None
        return max(max(known), sum(known) / self._at_once)


def _about(seconds: float) -> str:
    """As one would say it: `about 20 s`."""
    if seconds < 10:
        return f"about {round(seconds)} s"
    if seconds < 90:
        return f"about {5 * round(seconds / 5)} s"
    return f"about {round(seconds / 60)} min" if seconds >= 105 else "about 90 s"


def _rate(runs: list[tuple[int, float]]) -> float | None:
    """Seconds for a line of text, by earlier runs."""
    return median(max(seconds - _START_UP, 0.01) / size for size, seconds in runs) if runs else None


def _remembered() -> list[tuple[int, float]]:
    return TIMES.read_as(_RUNS, _runs_in) or []


def _runs_in(body: bytes) -> list[tuple[int, float]]:
    return [(int(size), float(seconds)) for size, seconds in json.loads(body) if size > 0 and seconds > 0]


def _remember(size: int, seconds: float) -> None:
    if size < 1:
        return
    runs = [*_remembered(), (size, round(seconds, 2))][-_REMEMBERED:]
    TIMES.keep(_RUNS, json.dumps(runs).encode())
