"""The process that draws systems, so that neither loading music21 and Verovio nor drawing holds up the desk.

In: through a pipe, one after another, cuts of systems, and first bars of a piece, which it notates too. Out: what
`engraved` makes and keeps of a cut, and `beginning` of first bars. It ends when the pipe is closed.
"""

from __future__ import annotations

import gc
import os
import pickle
import sys
from typing import IO

_LENGTH = 8
"""Bytes that say how long what follows is."""
DRAWN, NOT_DRAWN = b"+", b"-"
"""What an answer begins with."""


def send(pipe: IO[bytes], body: bytes) -> None:
    """Send bytes to the other end."""
    pipe.write(len(body).to_bytes(_LENGTH, "big") + body)
    pipe.flush()


def receive(pipe: IO[bytes]) -> bytes:
    """What was sent; nothing where the other end is closed."""
    length = pipe.read(_LENGTH)
    return pipe.read(int.from_bytes(length, "big")) if len(length) == _LENGTH else b""


def main() -> None:
    """Load what takes long, and draw until nobody asks any more."""
    asked, answers = sys.stdin.buffer, os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # whatever a library says is no answer
    gc.disable()  # what is loaded stays
    from cavata.desk.score.beginning import first_system
    from cavata.desk.score.engraved import about, drawn_and_kept
    from cavata.desk.score.first_bars import Beginning
    from cavata.draft import NotDrawn
    from cavata.draft.music import load_verovio
    from cavata.musicxml import document  # noqa: F401

    load_verovio()
    about()
    gc.freeze()
    gc.enable()
    while body := receive(asked):
        wanted = pickle.loads(body)
        try:
            answer = DRAWN + (first_system(wanted) if isinstance(wanted, Beginning) else drawn_and_kept(wanted))
        except NotDrawn:
            answer = NOT_DRAWN
        send(answers, answer)


if __name__ == "__main__":
    main()
