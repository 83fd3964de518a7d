"""A process of its own that draws systems, so that neither loading music21 and Verovio nor drawing holds up the desk.

In: cuts of systems, one after another, through a pipe. Out: their pictures, kept as `engraved` keeps them. It ends when
the pipe is closed, and so with us, even if we are killed. Where it cannot be had, systems are drawn here.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from pathlib import Path
from threading import Lock
from typing import IO, TYPE_CHECKING

if TYPE_CHECKING:
    from cavata.desk.engraved import Cut

_ROOT = str(Path(__file__).resolve().parent.parent.parent)
_LENGTH = 8
"""Bytes that say how long what follows is."""
_DRAWN, _NOT_DRAWN = b"+", b"-"


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
                        [sys.executable, "-m", "cavata.desk.engraver"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                        stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": paths}, start_new_session=True,
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
                _send(process.stdin, pickle.dumps(cut))
                answer = _receive(process.stdout)
            except OSError:
                answer = b""
            if not answer:
                process.kill()
                process.wait()
                self._process = None
                return None
        if answer.startswith(_NOT_DRAWN):
            from cavata.draft.music import NotDrawn

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


def _send(pipe: IO[bytes], body: bytes) -> None:
    pipe.write(len(body).to_bytes(_LENGTH, "big") + body)
    pipe.flush()


def _receive(pipe: IO[bytes]) -> bytes:
    """What was sent; nothing where the other end is closed."""
    length = pipe.read(_LENGTH)
    return pipe.read(int.from_bytes(length, "big")) if len(length) == _LENGTH else b""


def main() -> None:
    """Draw until nobody asks any more."""
    from cavata.desk.engraved import drawn_and_kept, load
    from cavata.draft.music import NotDrawn

    asked, answers = sys.stdin.buffer, os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # whatever a library says is no answer
    load()
    while body := _receive(asked):
        try:
            answer = _DRAWN + drawn_and_kept(pickle.loads(body))
        except NotDrawn:
            answer = _NOT_DRAWN
        _send(answers, answer)


if __name__ == "__main__":
    main()
