"""The process that draws systems, as the desk has it: begun when a desk is opened, and asked.

In: cuts of systems. Out: their pictures, as `worker` draws them. It ends when we end, even if we are killed. Where it
cannot be had, systems are drawn here.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from cavata.desk.score.worker import NOT_DRAWN, receive, send
from cavata.draft import NotDrawn

if TYPE_CHECKING:  # what draws is loaded there
    from cavata.desk.score.engraved import Cut
    from cavata.desk.score.first_bars import Beginning

_ROOT = str(Path(__file__).resolve().parents[3])
_WORKER = ThreadPoolExecutor(1, "engraver")
"""Verovio loads its fonts anew in every thread; so one draws for all."""


class EngraverProcess:
    """The process, one for all desks of ours."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._lock = Lock()

    def begin(self) -> None:
        """Have it load what it needs meanwhile. Nothing happens where it runs already."""
        with self._lock:
            if self._process is None or self._process.poll() is not None:
                paths = os.pathsep.join(filter(None, (_ROOT, os.environ.get("PYTHONPATH", ""))))
                try:
                    self._process = subprocess.Popen(
                        [sys.executable, "-m", "cavata.desk.score.worker"],
                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                        env={**os.environ, "PYTHONPATH": paths}, start_new_session=True,
                    )  # fmt: skip
                except OSError:
                    self._process = None

    def draw(self, wanted: Cut | Beginning) -> bytes | None:
        """What it makes of that; None where the process cannot be had. Raises NotDrawn."""
        return self.drawn(pickle.dumps(wanted))

    def drawn(self, asked: bytes) -> bytes | None:
        """The same for what is to be drawn as `worker` reads it."""
        with self._lock:
            process = self._process
            if process is None or process.stdin is None or process.stdout is None:
                return None
            try:
                send(process.stdin, asked)
                answer = receive(process.stdout)
            except OSError:
                answer = b""
            if not answer:
                process.kill()
                process.wait()
                self._process = None
                return None
        if answer.startswith(NOT_DRAWN):
            raise NotDrawn
        return answer[1:]

    def end(self) -> None:
        """Let it go."""
        with self._lock:
            if self._process is not None and self._process.stdin is not None:
                self._process.stdin.close()
                self._process.wait()
            self._process = None


ENGRAVER = EngraverProcess()


def engraved(cut: Cut) -> str:
    """The picture; in the place of ids it has places as in `musicxml.ids`. Raises NotDrawn."""
    drawn = ENGRAVER.draw(cut)
    if drawn is None:
        from cavata.desk.score.engraved import drawn_and_kept

        drawn = _WORKER.submit(drawn_and_kept, cut).result()
    return drawn.decode("utf-8")
