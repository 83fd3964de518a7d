"""A process of its own that draws systems, so that neither loading music21 and Verovio nor drawing holds up the desk.

In: cuts of systems, one after another, through a pipe. Out: their pictures, as `engraved` makes and keeps them. It ends
when the pipe is closed, and so with us, even if we are killed. Where it cannot be had, systems are drawn here.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock

from cavata.desk.score.engraved import NOT_DRAWN, Cut, drawn_and_kept, receive, send
from cavata.draft.music import NotDrawn

_ROOT = str(Path(__file__).resolve().parents[3])
_WORKER = ThreadPoolExecutor(1, "engraver")
"""Verovio loads its fonts anew in every thread; so one draws for all."""


class Engraver:
    """The process, one for all desks of ours; begun when a desk is opened."""

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
                        [sys.executable, "-m", "cavata.desk.score.engraved"],
                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                        env={**os.environ, "PYTHONPATH": paths}, start_new_session=True,
                    )  # fmt: skip
                except OSError:
                    self._process = None

    def draw(self, cut: Cut) -> bytes | None:
        """The picture of a cut; None where the process cannot be had. Raises NotDrawn."""
        with self._lock:
            process = self._process
            if process is None or process.stdin is None or process.stdout is None:
                return None
            try:
                send(process.stdin, pickle.dumps(cut))
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


ENGRAVER = Engraver()


def engraved(cut: Cut) -> str:
    """The picture; in the place of ids it has places as in `musicxml.ids`. Raises NotDrawn."""
    drawn = ENGRAVER.draw(cut)
    return (_WORKER.submit(drawn_and_kept, cut).result() if drawn is None else drawn).decode("utf-8")
