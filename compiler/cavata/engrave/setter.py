"""Sheets set by a process of its own: Abjad loads there while we notate here, and sets while we look for what was kept.

In: sheets, from any thread. Out: their texts, the same that `sheet_text` gives here; where there is no such process, or
it is gone, they are set here. It ends with us, however we end, since it waits at a pipe of which we hold the other end.
"""

from __future__ import annotations

import os
import signal
import sys
from contextlib import suppress
from threading import Lock
from typing import TYPE_CHECKING

from cavata.emit.lilypond_sheets import Sheet

if TYPE_CHECKING:  # an unchanged build has no use for it
    from multiprocessing.connection import Connection


class Setter:
    """To be made before any thread is, and closed when the last sheet is set."""

    def __init__(self, beside: bool) -> None:
        """`beside`: with a process of its own, which only pays where something is to be set."""
        self._lock = Lock()
        self._line: Connection | None = None
        if not beside or not _may_fork():
            return
        from multiprocessing import get_context

        context = get_context("fork")
        ours, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, ours), daemon=True)
        with suppress(OSError):
            self._process.start()
            self._line = ours
        theirs.close()

    def text(self, sheet: Sheet) -> str:
        """The LilyPond text of a sheet."""
        with self._lock:
            if self._line is not None:
                try:
                    self._line.send(sheet)
                    answer: str = self._line.recv()
                except (OSError, EOFError):
                    self.close()
                else:
                    return answer
            # Under the lock too: Abjad knows nothing of threads.
            return _set(sheet)

    def close(self) -> None:
        """End the process."""
        if self._line is not None:
            self._line.close()
            self._line = None
            self._process.kill()
            self._process.join()


def _may_fork() -> bool:
    """On Linux, with no thread beside this one, whose locks a copy of the process would wait for in vain.

    Elsewhere a process would begin from nothing, and load more than it saves.
    """
    return sys.platform == "linux" and len(os.listdir("/proc/self/task")) == 1


def _set(sheet: Sheet) -> str:
    # Abjad takes longer to load than most builds of an unchanged piece take altogether.
    from cavata.emit.lilypond import sheet_text

    return sheet_text(sheet)


def _serve(line: Connection, others_end: Connection) -> None:
    """The process: loads Abjad, then sets sheet after sheet. What goes wrong here is told where it is done again."""
    others_end.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for number in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)
    with suppress(Exception):
        import cavata.emit.lilypond as _  # noqa: F401 - loaded before the first sheet comes

        while True:
            line.send(_set(line.recv()))
    os._exit(0)
