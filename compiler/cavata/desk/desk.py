"""The desk of one piece: its states as they are saved, who follows them, and what is lit.

In: saves, whoever notices them. Out: states, the last good one among them, and events for every page that is open.
Holds after: a state is never changed, and of many only the newest are held in memory; the texts of the others lie in
the cache, as long as there is room.
"""

from __future__ import annotations

import json
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from threading import Lock, RLock
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Protocol

from cavata.cache import SAVES
from cavata.desk.first_system import FirstSystem
from cavata.desk.opening import Opening, SeenFirst
from cavata.desk.state import KeptCopies, NotePosition, State
from cavata.diagnostics import Diagnostic, said
from cavata.syntax.edits import Edit, applied

if TYPE_CHECKING:  # passes are loaded while a page is opened
    from cavata.pipeline import Compiled
    from cavata.standing import Standing

HELD = 6
"""How many states are held in memory besides the last good one."""
TRIED = 12
"""How many that are only tried."""
REMEMBERED = 500
"""Of how many saves the texts can be had again."""
_NOTHING: Mapping[str, str] = MappingProxyType({})
Notice = Mapping[str, Any]
Follower = Callable[[Notice], None]


class Editor(Protocol):
    """An editor that has files of the piece open."""

    def text(self, path: str) -> str | None:
        """What it has of a file now; None if it is not open there."""

    def edit(self, path: str, edits: Iterable[Edit], text: str, what: str) -> bool:
        """Make edits in a file that is open there and has just this text; whether that was done."""

    def show(self, path: str, start: int, end: int) -> bool:
        """Show a place, from and to, by characters; whether that was done."""


class Desk:
    """One piece."""

    def __init__(
        self, path: Path, shown: str = "", library: Path | None = None, lock: RLock | None = None,
        editor: Editor | None = None,
    ) -> None:
        self.path = path.resolve()
        self.shown = shown or path.name
        self.library = library
        self.editor = editor
        self.link = ""
        """The name of the editor whose links the page has; see `safety`."""
        self.still = lock or RLock()
        """Held while the piece is compiled: places in scripts move then. Whoever reads places holds it meanwhile."""
        self.shelf: dict[str, Any] = {}
        """What views keep from one question to the next, each under a word of its own."""
        self.taken: list[Any] = []
        """What was written into the script from here and can be taken back; see `writing`."""
        self.writing = Lock()
        """Held while something is written into the script, so that one thing is after the other."""
        self._copies = KeptCopies()
        self._states: OrderedDict[int, State] = OrderedDict()
        self._tried: OrderedDict[int, State] = OrderedDict()
        self._texts: OrderedDict[int, str] = OrderedDict()
        """For each save the name under which its texts are kept."""
        self._moments: dict[int, float] = {}
        """When each was made, in seconds of the system's clock."""
        self._unsaved: dict[str, tuple[str, bytes]] = {}
        """What an editor has of files, each with what was on the disk then."""
        self._last_good: State | None = None
        self.opening = Opening.of(self.path, library)
        """What was seen first when it was opened before; None if something is other than it was."""
        self.seen_first = SeenFirst()
        self.first_system = FirstSystem()
        """As long as there is one state, and it is seen for the first time."""
        self._number = self._trials = 0
        self._followers: list[Follower] = []
        self._lit: tuple[NotePosition, ...] = ()

    # -------------------------------------------------------------- states

    @cached_property
    def _standing(self) -> Standing:
        from cavata.standing import Standing

        return Standing(self.path, self.shown, self.library)

    @property
    def state(self) -> State:
        """What was saved last. The piece is compiled if it never was."""
        with self.still:
            return self._states[self._number] if self._states else self.save()

    @property
    def is_compiled(self) -> bool:
        """Whether it was compiled since it was opened."""
        return self._number > 0

    @property
    def last_good(self) -> State | None:
        """The newest state that has a score."""
        return self._last_good

    @property
    def saves(self) -> tuple[tuple[int, float], ...]:
        """The numbers of the states that can be asked for, the newest last; and when they were saved, in seconds of the
        system's clock."""
        return tuple((number, self._moments[number]) for number in self._texts)

    def save(self, unsaved: Mapping[str, str] = _NOTHING) -> State:
        """Take in what is on the disk now, and tell all who follow.

        What an editor has of files and has not saved stands for them until they change on the disk. Where nothing is
        other than before, there is no new state.
        """
        with self.still:
            self._unsaved |= {path: (text, _content(path)) for path, text in unsaved.items()}
            self._unsaved = {path: each for path, each in self._unsaved.items() if each[1] == _content(path)}
            texts = {path: text for path, (text, _) in self._unsaved.items()}
            is_new = not self.is_compiled and self.opening is None
            compiled = self._standing.compile(texts, self.first_system.placed if is_new else None)
            own = own_texts(compiled)
            before = self._states.get(self._number)
            if before is not None and before.texts == own and before.messages == compiled.bag.ordered():
                return before
            if self._number == 0 and self.opening is not None and (self._is_edited or not self.opening.holds()):
                self._number = 1  # what a page shows already is known by that
            if self.is_compiled:
                self.first_system.forget()
            self._number += 1
            state = self._states[self._number] = State(self._number, own, compiled, self._copies)
            if state.is_good:
                self._last_good = state
            while len(self._states) > HELD:
                self._states.popitem(last=False)
            kept = json.dumps(dict(own), ensure_ascii=False, sort_keys=True).encode("utf-8", "surrogatepass")
            self._texts[self._number], self._moments[self._number] = SAVES.keep_content(kept), time.time()
            while len(self._texts) > REMEMBERED:
                del self._moments[self._texts.popitem(last=False)[0]]
            self._tell(self.event())
            return state

    def held(self, number: int) -> State | None:
        """The state of a number, if it is held in memory: one that a page has asked for and that is gone meanwhile is
        not worth to be compiled again, for the next one is on its way."""
        with self.still:
            good = self._last_good if self._last_good is not None and self._last_good.number == number else None
            return self._states.get(number) or self._tried.get(number) or good

    @property
    def _is_edited(self) -> bool:
        """Whether an editor has something else of a file than is on the disk."""
        return any(text.encode("utf-8", "surrogatepass") != content for text, content in self._unsaved.values())

    def find(self, number: int) -> State | None:
        """The state of a number; one that is no longer held is compiled again from its texts, if these are there."""
        with self.still:
            found = self.held(number)
            if found is None and number in self._texts:
                body = SAVES.read_content(self._texts[number])
                texts = None if body is None else json.loads(body.decode("utf-8", "surrogatepass"))
                found = None if texts is None else self._kept_as_tried(number, self.compiled(texts))
            return found

    def trial(self, texts: Mapping[str, str]) -> State:
        """The piece as it would be with these texts, by paths; not saved, and known by a number below 0."""
        with self.still:
            return self.tried(self.compiled({**self.state.texts, **texts}))

    def tried(self, compiled: Compiled) -> State:
        """Something else that was compiled, such as the piece as it once was; known by a number below 0."""
        with self.still:
            self._trials -= 1
            return self._kept_as_tried(self._trials, compiled)

    def edited(self, state: State, edits: Mapping[str, Iterable[Edit]]) -> State:
        """A state as it would be with edits, whose places count in its texts."""
        return self.trial({path: applied(state.texts[path], each) for path, each in edits.items()})

    def compiled(self, texts: Mapping[str, str], version: str = "") -> Compiled:
        """The piece, or a version of it, made anew of these texts, by paths: all its places count in them."""
        from cavata.pipeline import compile_script

        text = texts.get(str(self.path))
        return compile_script(self.path, self.shown, text, self.library, texts, version=version)

    def _kept_as_tried(self, number: int, compiled: Compiled) -> State:
        state = self._tried[number] = State(number, own_texts(compiled), compiled, self._copies)
        while len(self._tried) > TRIED:
            self._tried.popitem(last=False)
        return state

    @property
    def can_undo(self) -> bool:
        """Whether something was taken that can be taken back."""
        return bool(self.taken)

    # -------------------------------------------------------------- who follows

    def subscribe(self, follower: Follower) -> Callable[[], None]:
        """Have every event told, from any thread; what is returned ends that."""
        with self.still:
            self._followers.append(follower)

        def end() -> None:
            with self.still, suppress(ValueError):
                self._followers.remove(follower)

        return end

    @property
    def is_followed(self) -> bool:
        """Whether a page is open."""
        return bool(self._followers)

    def light(self, marks: Iterable[NotePosition]) -> None:
        """Show the notes of which the editor speaks, and the place where the first of them stands."""
        lit = tuple(marks)
        if lit != self._lit:
            self._lit = lit
            place = {"here": {"movement": lit[0].movement, "bar": lit[0].bar, "id": lit[0].id}} if lit else {}
            self._tell({**self.event(), "highlight": [mark.id for mark in lit], **place})

    def event(self) -> Notice:
        """What is to be told of the piece as it is."""
        from cavata.desk.places import bars_of

        with self.still:
            state, good = self.state, self._last_good
            bars = bars_of(state.messages, state, good)
            told = [_message(each, bars.get(number)) for number, each in enumerate(state.messages)]
            return {"state": state.number, "good": good.number if good else 0, "messages": told}

    def _tell(self, event: Notice) -> None:
        for follower in [*self._followers]:
            follower(event)


def own_texts(compiled: Compiled) -> dict[str, str]:
    """The texts of the files that belong to the composer, by their paths."""
    from cavata.editor.names import is_own

    if compiled.loaded is None:
        return {}
    return {key: module.source.text for key, module in compiled.loaded.modules.items() if is_own(key)}


def _content(path: str) -> bytes:
    try:
        return Path(path).read_bytes()
    except OSError:
        return b""


def _message(message: Diagnostic, bar: tuple[str, int] | None) -> dict[str, Any]:
    """A message for the page; lines and columns count from 1."""
    span = message.span
    told: dict[str, Any] = {
        "code": message.code, "severity": message.severity.value, "text": said(message.message),
        "label": said(message.label), "cure": said(message.cure), "line": span.line if span else 0,
        "column": span.column if span else 0, "file": span.source.name if span else "",
    }  # fmt: skip
    if bar is not None:
        told["bar"] = {"movement": bar[0], "bar": bar[1]}
    return told
