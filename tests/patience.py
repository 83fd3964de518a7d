"""How long tests wait for what is to come. How busy the machine is must not decide whether a test passes: they wait for
the event itself, and only what never comes takes as long as this."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, TypeVar

_Found = TypeVar("_Found")
WAIT = 300.0
"""Seconds after which something will not come any more."""


def until(holds: Callable[[], Any], what: str = "") -> Any:
    """What a question is answered with, once that is something."""
    end = time.monotonic() + WAIT
    while time.monotonic() < end:
        found = holds()
        if found:
            return found
        time.sleep(0.01)
    raise AssertionError(f"it never came: {what}")


def timed(act: Callable[[], _Found], times: int = 1) -> tuple[_Found, float]:
    """What is found, and the seconds of the processor that it took, the least of so many times: others disturb."""
    took = []
    for _ in range(times):
        begun = time.process_time()
        found = act()
        took.append(time.process_time() - begun)
    return found, min(took)
