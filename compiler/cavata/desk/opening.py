"""What is seen first of a piece, kept for the next time its desk is opened: it is there before the piece is compiled.

In: what a page asked for first and was answered, and the files that the piece was made of. Out: the same answers, as
long as all these files have the same content and the compiler is the same. Holds after: systems have the numbers and
breaks that they had in what was kept, so that the page goes on from there when the piece is compiled.
"""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from hashlib import sha256
from itertools import count
from pathlib import Path
from threading import Event, Lock
from typing import TYPE_CHECKING, Any, Protocol

from cavata.cache import PAGES, compiler_stamps, key_of
from cavata.desk.answers import Answer
from cavata.record import record

if TYPE_CHECKING:
    from cavata.desk.state import State

FIRST = frozenset(("about", "score", "system", "map", "names"))
"""The views that a page asks for first."""
_MOST_SYSTEMS = 6
"""Pictures of so many systems are kept, the first ones."""
_LAST = ("map", "names")
PATIENCE = 3.0
"""Seconds for which compiling waits for a page."""
_TEXT = "utf-8"
Bars = tuple[str, ...]


class Piece(Protocol):
    """What has to be known of a desk."""

    path: Path
    library: Path | None
    shelf: dict[str, Any]

    @property
    def state(self) -> State:
        """What was saved last."""

    @property
    def last_good(self) -> State | None:
        """The newest state that has a score."""

    def event(self) -> Mapping[str, Any]:
        """What is to be told of the piece as it is."""


@record
class Breaks:
    """The systems of a copy in a room."""

    starts: Mapping[str, frozenset[Bars]]
    """Of each movement the bars with which systems begin."""
    numbers: tuple[int, ...]


class Opening:
    """What was kept of a piece."""

    def __init__(self, kept: Mapping[str, Any]) -> None:
        self._files: list[list[str]] = kept["files"]
        self.event: Mapping[str, Any] = kept["event"]
        self._answers: Mapping[str, list[str]] = kept["answers"]
        self._breaks: Mapping[str, Any] = kept["breaks"]
        self.seen = Event()
        """Set when the page has asked for what it asks for last."""
        self._until = time.monotonic() + PATIENCE

    @classmethod
    def of(cls, path: Path, library: Path | None = None) -> Opening | None:
        """What is kept of the piece at a path, if everything is as it was."""
        kept = PAGES.read_as(_key(path, library), json.loads)
        try:
            found = None if kept is None else cls(kept)
        except (KeyError, TypeError):
            return None
        return found if found is not None and found.holds() else None

    def holds(self) -> bool:
        """Whether all files of the piece are what they were."""
        return all(_hash(path) == content for path, content in self._files)

    def answer(self, view: str, wanted: Mapping[str, str]) -> Answer | None:
        """What the page was told, if it asked just that."""
        if wanted.get("state", "1") != "1":
            return None
        found = self._answers.get(_question(view, wanted))
        if found is None:
            return None
        if view in _LAST:
            self.seen.set()
        kind, body = found
        return Answer(kind, body.encode(_TEXT))

    def first_system(self, room: str) -> dict[str, Any]:
        """The first system in a room, as `FirstSystem` tells it, of a copy that the page showed there; nothing if none
        was."""
        about = self._json("about", {})
        for copy in (each["copy"] for each in about.get("copies", ())):
            layout = self._json("score", {"copy": copy, "room": room})
            picture = self._answers.get(_question("system", {"copy": copy, "room": room, "system": "0"}))
            if layout.get("systems") and picture is not None:
                title = about["movements"][0]["title"]
                return {
                    "copy": copy, "room": room, "title": title, "system": layout["systems"][0], "picture": picture[1],
                }  # fmt: skip
        return {}

    def _json(self, view: str, wanted: Mapping[str, str]) -> dict[str, Any]:
        found = self._answers.get(_question(view, wanted))
        told: dict[str, Any] = json.loads(found[1]) if found is not None else {}
        return told

    def wait(self) -> None:
        """Leave the processor to the page until it has what it shows first, or does not ask for it."""
        self.seen.wait(max(0.0, self._until - time.monotonic()))

    def breaks(self, copy: str, room: str) -> Breaks | None:
        """How the systems of a copy were laid out."""
        found = self._breaks.get(f"{copy} {room}")
        if found is None:
            return None
        starts = {movement: frozenset(map(tuple, bars)) for movement, bars in found["starts"].items()}
        return Breaks(starts, tuple(found["numbers"]))


class SeenFirst:
    """What the page asks for first in a state, until it is kept."""

    def __init__(self) -> None:
        self._state = 0
        self._answers: dict[str, Answer] = {}
        self._has: set[str] = set()
        self._kept = 0
        self._lock = Lock()

    def note(self, desk: Piece, state: State, view: str, wanted: Mapping[str, str], answer: Answer) -> None:
        """Remember an answer; the first time that all is there, keep it."""
        if view not in FIRST or state is not desk.last_good or "since" in wanted:
            return
        if view == "system" and int(wanted.get("system", "0")) >= _MOST_SYSTEMS:
            return
        with self._lock:
            if state.number != self._state:
                self._state = state.number
                self._answers, self._has = {}, set()
            self._answers[_question(view, wanted)] = answer
            self._has.add(view)
            complete = not self._kept and self._has >= FIRST
        if complete:
            self.keep(desk)

    def keep(self, desk: Piece) -> None:
        """Keep what was asked for, if it is of the piece as it is on the disk."""
        state = desk.last_good
        with self._lock:
            if state is None or state.number != self._state or state.number == self._kept or not self._has >= FIRST:
                return
            self._kept = state.number
            answers = dict(self._answers)
        kept = _kept(desk, state, answers)
        if kept is not None:
            body = json.dumps(kept, ensure_ascii=False).encode(_TEXT, "surrogatepass")
            PAGES.keep(_key(desk.path, desk.library), body)


def _kept(desk: Piece, state: State, answers: Mapping[str, Answer]) -> dict[str, Any] | None:
    """All that is kept of a state as JSON; None where it is not that of the files."""
    loaded = state.compiled.loaded
    if loaded is None or loaded.tunes or desk.state is not state:
        return None
    texts = {key: module.source.text for key, module in loaded.modules.items()}
    files = [[path, _hash(path)] for path in texts]
    try:
        if any(Path(path).read_text(_TEXT) != text for path, text in texts.items()):
            return None
    except (OSError, UnicodeError):
        return None
    numbers = count(-1, -1)
    told: dict[str, list[str]] = {}
    breaks: dict[str, Any] = {}
    for question, answer in answers.items():
        text = answer.body.decode(_TEXT)
        if answer.kind.startswith("application/json"):
            value = json.loads(text)
            value["state"] = 1
            if "systems" in value:
                for each in value["systems"]:
                    each["number"] = next(numbers)
                breaks[f"{value['copy']} {value['room']}"] = {
                    "starts": _starts(desk, value["copy"], value["room"]),
                    "numbers": [each["number"] for each in value["systems"]],
                }
            text = json.dumps(value, ensure_ascii=False)
        told[question] = [answer.kind, text]
    event = {**desk.event(), "state": 1, "good": 1}
    return {"files": files, "event": event, "answers": told, "breaks": breaks}


def _starts(desk: Piece, copy: str, room: str) -> dict[str, list[list[str]]]:
    starts = desk.shelf["systems"][copy, room].starts
    return {movement: sorted(map(list, bars)) for movement, bars in starts.items()}


def _key(path: Path, library: Path | None) -> str:
    return key_of("opening", compiler_stamps(), str(path), str(library or ""))


def _hash(path: str) -> str:
    try:
        return sha256(Path(path).read_bytes()).hexdigest()
    except OSError:
        return ""


def _question(view: str, wanted: Mapping[str, str]) -> str:
    return json.dumps([view, sorted((name, value) for name, value in wanted.items() if name != "state")])
