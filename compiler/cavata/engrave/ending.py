"""Being told to end: SIGTERM and a closed terminal as Ctrl-C, once, and never between files that belong together."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

_WISHES = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


@contextmanager
def ended_politely() -> Iterator[None]:
    """Raise KeyboardInterrupt at the first wish to end, whichever signal brings it; a second does not disturb the
    tidying up. A signal that whoever started us has switched off stays so."""

    def wish(_number: int, _frame: FrameType | None) -> None:
        for number in before:
            signal.signal(number, signal.SIG_IGN)
        raise KeyboardInterrupt

    before = {
        number: signal.getsignal(number) for number in _WISHES
        if _may_set() and signal.getsignal(number) not in (signal.SIG_IGN, None)
    }  # fmt: skip
    for number in before:
        signal.signal(number, wish)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def undisturbed() -> Iterator[None]:
    """Let a wish to end wait until this is done."""
    came: list[int] = []
    before = {number: signal.getsignal(number) for number in _WISHES if _may_set()}
    for number in before:
        signal.signal(number, lambda number, _frame: came.append(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, signal.SIG_DFL if handler is None else handler)
        if came:
            signal.raise_signal(came[0])


def _may_set() -> bool:
    """Only the main thread may say what a signal does."""
    return threading.current_thread() is threading.main_thread()
