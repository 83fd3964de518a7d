"""What a page shows while the rest of a piece is looked at and notated for the first time: the first system.

In: the score of a piece that is compiled for the first time, as soon as it can be written, and the rooms for which it
is asked. Out: for each room the first system of the copy that is read there, drawn by another process while the
compiler goes on. Holds after: it is told only once nothing was found wrong with the piece; it has the number by which
the page knows it among all systems, if it looks there as it does here.
"""

from __future__ import annotations

import json
import pickle
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import count
from threading import RLock
from typing import TYPE_CHECKING, Any

from cavata.desk.score.engraver import ENGRAVER
from cavata.desk.state import SCORE, SHORT, State
from cavata.draft import NotDrawn
from cavata.record import record

if TYPE_CHECKING:  # passes are loaded while a page is opened
    from cavata.score.score import Score

FIRST_SYSTEM = "first"
"""What a page asks for it by, as by the name of a view; but a view has a state to look at."""
NUMBERS = count(1)
"""Of systems, whatever copy they are of, for the page knows them by nothing else."""
_READ_IN: Mapping[str, str] = {"wide": SCORE, "narrow": SHORT}
"""The copy with which the page begins, by the room that it has."""
USUAL = "wide"
"""The room of most pages: what is seen first there is begun before a page asks for it."""
_ASKING = ThreadPoolExecutor(1, "first system")


@record
class Begun:
    """A first system as pages are told of it."""

    number: int
    picture: str


class FirstSystem:
    """The first systems of the first state of one piece."""

    def __init__(self) -> None:
        self._score: Score | None = None
        self._asked: dict[str, Future[dict[str, Any]] | None] = {}
        """For each room that is asked for, what is told of it; None until it is begun."""
        self._lock = RLock()

    def ask(self, room: str) -> None:
        """Have it begun for a room, now or when there is a score."""
        with self._lock:
            if room in _READ_IN:
                self._asked.setdefault(room, None)
                self._begin()

    def placed(self, score: Score) -> None:
        """The piece is compiled as far as its score, which can be written; what was asked for is begun."""
        with self._lock:
            if score.movements and score.movements[0].bars:
                self._score = score
                self._begin()

    def told(self, room: str, state: State) -> dict[str, Any]:
        """What pages are told of the first state, as JSON has it; nothing if that is not to be had."""
        asked = self._asked.get(room)
        return {} if asked is None or not state.is_good or state.score is not self._score else asked.result()

    def begun(self, copy: str, room: str) -> Begun | None:
        """What pages are told of a copy in a room."""
        asked = self._asked.get(room)
        told = {} if asked is None else asked.result()
        return Begun(told["system"]["number"], told["picture"]) if told.get("copy") == copy else None

    def forget(self) -> None:
        """Let it go: another state is shown."""
        with self._lock:
            self._score = None
            self._asked.clear()

    def _begin(self) -> None:
        if self._score is None:
            return
        from cavata.desk.score.first_bars import beginning

        for room, begun in self._asked.items():
            if begun is None:
                copy = _READ_IN[room] if len(self._score.parts) > 1 else SCORE
                # Here, where nothing else is computed: another thread would have to share the time with the compiler.
                asked = pickle.dumps(beginning(self._score, copy, room))
                self._asked[room] = _ASKING.submit(_drawn, asked)


def _drawn(asked: bytes) -> dict[str, Any]:
    """What is told of a first system; nothing where no process can draw it meanwhile."""
    ENGRAVER.begin()
    try:
        drawn = ENGRAVER.drawn(asked)
    except NotDrawn:
        return {}
    if drawn is None:
        return {}
    told: dict[str, Any] = json.loads(drawn)
    told["system"]["number"] = next(NUMBERS)
    return told
