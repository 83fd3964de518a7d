"""LilyPond runs side by side.

In: .ly texts, one after the other. Out: a future engraving for each. When the press closes, on whatever way, no run
goes on. Each run starts LilyPond anew. One process that is forked for each text would hardly save anything: it could be
forked only before it loads its fonts, since Pango has threads from then on, and most of the start comes after that.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event

from cavata.child import ChildLimits
from cavata.lilypond.engrave import RESOLUTION, engrave
from cavata.lilypond.engraving import Engraving, Failure, Phase
from cavata.text import whole

AT_ONCE = "CAVATA_AT_ONCE"
"""The environment variable that says how many runs there may be at once."""
_Result = Engraving | Failure


def usual_at_once() -> int:
    """As many runs as the environment says, else as there are processors that we may use."""
    given = whole(os.environ.get(AT_ONCE, ""))
    if given:
        return given
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Press:
    """To be used in a `with` statement."""

    def __init__(self, at_once: int, limits: ChildLimits | None = None, resolution: int = RESOLUTION) -> None:
        self._limits = limits
        self._resolution = resolution
        self._stop = Event()
        self._pool = ThreadPoolExecutor(at_once, "press")

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._pool.shutdown(cancel_futures=True)

    def engrave(
        self, text: str, formats: frozenset[str], heard: Callable[[Phase], None] | None = None
    ) -> Future[_Result]:
        """Engrave a text as soon as there is room; `heard` is told of the phases, by another thread."""
        return self._pool.submit(
            engrave, text, formats, self._limits, heard, self._resolution, self._stop,
        )  # fmt: skip
