"""LilyPond runs side by side.

In: .ly texts, one after the other. Out: a future engraving for each. When the press closes, on whatever way, no run
goes on. Each run starts LilyPond anew; some may be started before their texts are there. One process that is forked for
each text would hardly save anything: it could be forked only before it loads its fonts, since Pango has threads from
then on, and most of the start comes after that.
"""

from __future__ import annotations

import os
from concurrent.futures import Future, ThreadPoolExecutor
from queue import SimpleQueue
from threading import Event

from cavata.child import ChildLimits
from cavata.lilypond.engrave import RESOLUTION, PhaseHeard, engrave, engrave_awaited
from cavata.lilypond.engraving import Engraving, Failure
from cavata.text import whole

AT_ONCE = "CAVATA_AT_ONCE"
"""The environment variable that says how many runs there may be at once."""
_Result = Engraving | Failure
_Texts = SimpleQueue[tuple[str, PhaseHeard | None] | None]


def usual_at_once() -> int:
    """As many runs as the environment says, else as there are processors that we may use."""
    given = whole(os.environ.get(AT_ONCE, ""))
    if given:
        return given
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Press:
    """To be used in a `with` statement."""

    def __init__(self, at_once: int, limits: ChildLimits | None = None, resolution: int = RESOLUTION) -> None:
        self._at_once = at_once
        self._limits = limits
        self._resolution = resolution
        self._stop = Event()
        self._pool = ThreadPoolExecutor(at_once, "press")
        self._started: list[tuple[_Texts, frozenset[str], bool, Future[_Result]]] = []
        """Runs that wait for a text, with what they make of it and whether they are watched."""

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        for texts, *_rest in self._started:
            texts.put(None)
        self._pool.shutdown(cancel_futures=True)

    def start(self, count: int, formats: frozenset[str], watched: bool) -> None:
        """Start so many runs, of those that there may be at once, ahead of their texts."""
        for _ in range(min(count, self._at_once)):
            texts: _Texts = SimpleQueue()
            run = self._pool.submit(
                engrave_awaited, texts.get, formats, self._limits, watched, self._resolution, self._stop,
            )  # fmt: skip
            self._started.append((texts, formats, watched, run))

    def engrave(self, text: str, formats: frozenset[str], heard: PhaseHeard | None = None) -> Future[_Result]:
        """Engrave a text as soon as there is room; `heard` is told of the phases, by another thread."""
        while self._started:
            texts, made, watched, run = self._started[0]
            fits = (made, watched) == (formats, heard is not None)
            texts.put((text, heard) if fits else None)  # one that does not would keep the room
            del self._started[0]  # not before: whoever is interrupted here would wait for it for ever
            if fits:
                return run
        return self._pool.submit(
            engrave, text, formats, self._limits, heard, self._resolution, self._stop,
        )  # fmt: skip
