"""Then and now: two states of the piece beside each other, whichever they are.

In: what is compared: a save since the desk was opened, the last commit or a revision of git, a version of the piece,
the piece as it is. Out: states that can be seen and heard; what changed from one to the other, as `compare` tells it,
with the ids of the notes that each change means in both.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack
from typing import Any

from cavata.compare.changes import Change, Comparison
from cavata.compare.comparing import compared
from cavata.compare.revisions import GitFault, Repository, git
from cavata.compare.text import change_text
from cavata.desk.desk import Desk
from cavata.desk.state import SCORE, SHORT, State
from cavata.desk.views import Answer, NotThere, as_json
from cavata.diagnostics import Diagnostics, Severity, said
from cavata.musicxml.ids import identified_notes
from cavata.names.versions import versions_of
from cavata.pipeline import compile_script
from cavata.score.clock import time_in_words
from cavata.score.score import ScoreEvent
from cavata.text import whole

NOW, SAVE, COMMIT, REVISION, VERSION = "now", "save:", "commit", "revision:", "version:"
_MOST = 200
"""Changes that are told."""


def sides(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """What can be compared: saves with their moments, versions that the script tells of, and the last commit."""
    with desk.still:
        loaded = state.compiled.loaded
        versions = [] if loaded is None else [v.name.text for v in versions_of(loaded.modules[loaded.main])]
    try:
        head = git(desk.path.parent, "log", "-1", "--format=%h %s", "--", desk.path.name).decode("utf-8", "replace")
    except GitFault:
        head = ""
    return as_json({"saves": list(desk.saves), "versions": versions, "commit": head.strip()})


def then(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """What changed from `before` to `after`, and under which numbers both are seen and heard; else why that cannot be
    told."""
    try:
        return as_json(told(desk, wanted))
    except NotThere as reason:
        return as_json({"said": str(reason)})


def told(desk: Desk, wanted: Mapping[str, str]) -> dict[str, Any]:
    """What changed. Raises NotThere."""
    old, new = (_side(desk, wanted.get(key, NOW)) for key in ("before", "after"))
    if old.score is None or new.score is None:
        raise NotThere("one of both has mistakes, so that they cannot be compared")
    with desk.still:
        comparison = compared(old.score, new.score)
        copy = wanted.get("copy", SCORE)
        before, after = _Ids(old, copy), _Ids(new, copy)
        changes = [_told(change, comparison, before, after) for change in comparison.changes[:_MOST]]
    seconds = comparison.new_length - comparison.old_length
    longer = "" if not round(seconds) else f"{time_in_words(abs(seconds))} {'longer' if seconds > 0 else 'shorter'}"
    return {
        "before": old.number, "after": new.number, "same": comparison.same, "longer": longer, "changes": changes,
        "left": max(len(comparison.changes) - _MOST, 0),
    }  # fmt: skip


def _told(change: Change, comparison: Comparison, before: _Ids, after: _Ids) -> dict[str, Any]:
    """A change, where it is to be looked at in both, and its notes."""
    place = change.places[0] if change.places else None
    here = None if place is None else (place.here if place.old else place.first)
    return {
        "text": change_text(change, comparison.groups), "movement": change.movement,
        "bar": None if here is None else here.bar,
        "was": None if place is None else _bar_before(change, place.first.bar),
        "ids": [*after.of(change.movement, (note.new.events for note in change.pairs if note.new is not None))],
        "before": [*before.of(change.movement, (note.old.events for note in change.pairs if note.old is not None))],
    }  # fmt: skip


def _bar_before(change: Change, otherwise: int) -> int:
    """The bar of the old score in which it begins, by its notes, if it has some there."""
    return next((note.old.spot.bar for note in change.pairs if note.old is not None), otherwise)


class _Ids:
    """The ids of the notes of a copy of a state.

    In the full score and in parts a note is known by the item that put it there; the short score joins notes, and there
    it is known by its pitch.
    """

    def __init__(self, state: State, copy: str) -> None:
        self._by_pitch = copy == SHORT
        self._ids: dict[tuple[object, ...], list[str]] = {}
        try:
            page = state.written(copy)
        except KeyError:
            return  # a part that this state does not have
        for written in page.movements:
            for _, name, event in identified_notes(written):
                for key in self._keys(written.name, event):
                    self._ids.setdefault(key, []).append(name)

    def of(self, movement: str, groups: Iterable[Iterable[ScoreEvent]]) -> Iterator[str]:
        """The ids of events, each once."""
        keys = (key for events in groups for event in events for key in self._keys(movement, event))
        return iter(dict.fromkeys(name for key in keys for name in self._ids.get(key, ())))

    def _keys(self, movement: str, event: ScoreEvent) -> Iterator[tuple[object, ...]]:
        pitches = [head.pitch for head in event.event.heads]
        if self._by_pitch:
            yield from ((movement, event.onset, pitch) for pitch in pitches)
        elif pitches:
            line = event.line
            yield movement, line.source.name, line.start, event.turn, event.onset, pitches[0]


# ---------------------------------------------------------------- what is compared


def _side(desk: Desk, which: str) -> State:
    """The state that is meant. Raises NotThere."""
    if which == NOW:
        return desk.last_good or desk.state
    if which.startswith(SAVE):
        number = whole(which.removeprefix(SAVE))
        found = None if number is None else desk.find(number)
        if found is None:
            raise NotThere(f"save {which.removeprefix(SAVE)} is not kept any more")
        return found
    if which.startswith(VERSION):
        return _version(desk, which.removeprefix(VERSION))
    if which == COMMIT or which.startswith(REVISION):
        return _revision(desk, "HEAD" if which == COMMIT else which.removeprefix(REVISION))
    raise NotThere(f"`{which}` is nothing that can be compared")


def _version(desk: Desk, name: str) -> State:
    state = desk.last_good or desk.state
    compiled = desk.compiled(state.texts, name)
    if compiled.score is None:
        raise _wrong(compiled.bag)
    return desk.tried(compiled)


def _revision(desk: Desk, revision: str) -> State:
    bag = Diagnostics()
    with ExitStack() as stack:
        repository = Repository.around(desk.path, bag)
        commit = None if repository is None else repository.commit(revision, bag)
        if repository is None or commit is None:
            raise _wrong(bag)
        kept: dict[str, State] = desk.shelf.setdefault("commits", {})
        for known in [known for known, state in kept.items() if desk.held(state.number) is not state]:
            del kept[known]
        if commit in kept:
            return kept[commit]
        inside = repository.inside(desk.path)
        root = repository.taken_out(commit, inside, desk.library, stack, bag)
        if root is None:
            raise _wrong(bag)
        if not (root / inside).is_file():
            raise NotThere(f"`{desk.path.name}` is not in `{revision}`")
        library = None if desk.library is None else repository.moved(desk.library, root)
        compiled = compile_script(root / inside, desk.shown, library=library)
    if compiled.score is None:
        raise _wrong(compiled.bag)
    kept[commit] = desk.tried(compiled)
    return kept[commit]


def _wrong(bag: Diagnostics) -> NotThere:
    errors = [said(each.message) for each in bag.ordered() if each.severity is Severity.ERROR]
    return NotThere("; ".join(errors[:2]))
