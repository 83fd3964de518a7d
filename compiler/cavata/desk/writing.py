"""Rows written into the script, and taken back: through the editor where it has the file open, else into the file.

In: edits whose places count in the texts of a state. Out: the files changed, all of them or none. Holds after: only the
script and files that it uses from its own folder were written, and none that had become another meanwhile. See
`cli/rewriting.py`, which does the same for the commands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from cavata.desk.desk import Desk
from cavata.desk.safety import writable_place
from cavata.desk.state import State
from cavata.desk.views import NotThere
from cavata.files import rewrite_together
from cavata.record import record
from cavata.syntax.edits import Edit, applied, in_file

MOST_UNDONE = 50
"""How many of the things taken can be taken back, one after the other."""


@record
class DeskWrite:
    """What was written once."""

    what: str
    """In words, for the page."""
    before: Mapping[str, str]
    """The texts of the files as they were, by path."""
    after: Mapping[str, str]


def take(desk: Desk, state: State, edits: Mapping[str, Sequence[Edit]], what: str) -> DeskWrite:
    """Write edits, whose places count in the texts of the state, by the paths of its files; the page follows.

    Raises NotThere where that cannot be done, in which case nothing is written. The desk must not be held still
    meanwhile: an editor that is asked to do it answers by way of a thread that compiles.
    """
    before = {path: state.texts[path] for path in edits}
    after = {path: applied(before[path], each) for path, each in edits.items()}
    made = DeskWrite(what, before, after)
    with desk.writing:
        _write(desk, before, edits, what)
        desk.taken.append(made)
        del desk.taken[:-MOST_UNDONE]
        desk.save(_in_editor(desk, after))
    return made


def undo(desk: Desk) -> str:
    """Take back what was taken last; what that was. Raises NotThere if nothing was, or if a file has changed since."""
    with desk.writing:
        if not desk.taken:
            raise NotThere("there is nothing to take back")
        last: DeskWrite = desk.taken[-1]
        edits = {path: (_difference(last.after[path], last.before[path]),) for path in last.after}
        _write(desk, last.after, edits, f"undo: {last.what}")
        desk.taken.pop()
        desk.save(_in_editor(desk, last.before))
        return last.what


def _difference(now: str, wanted: str) -> Edit:
    """The one edit that makes a text another: what they have in common at both ends stays."""
    begin = 0
    while begin < min(len(now), len(wanted)) and now[begin] == wanted[begin]:
        begin += 1
    end = 0
    while end < min(len(now), len(wanted)) - begin and now[-1 - end] == wanted[-1 - end]:
        end += 1
    return Edit(begin, len(now) - end, wanted[begin : len(wanted) - end])


def _write(desk: Desk, before: Mapping[str, str], edits: Mapping[str, Sequence[Edit]], what: str) -> None:
    """Write into editor and files; nothing at all where a single one is not what it was."""
    opened = {path: text for path in edits if (text := _text_in_editor(desk, path)) is not None}
    changed: dict[Path, bytes] = {}
    try:
        for path in edits:
            target = writable_place(Path(path), desk.path, before)
            if target is None:
                raise NotThere(f"`{Path(path).name}` is not a file of the script's own folder; nothing was written")
            content = in_file(target.read_bytes(), before[path], edits[path]) if path not in opened else b""
            if content is None or opened.get(path, before[path]) != before[path]:
                raise NotThere(f"`{target.name}` has changed meanwhile; nothing was written")
            if path not in opened:
                changed[target] = content
        rewrite_together(changed)
    except OSError as error:
        raise NotThere(f"the script cannot be written: {error.strerror or error}") from error
    for path in opened:
        if desk.editor is None or not desk.editor.edit(path, edits[path], before[path], what):
            raise NotThere(f"the editor did not change `{Path(path).name}`")


def _text_in_editor(desk: Desk, path: str) -> str | None:
    return None if desk.editor is None else desk.editor.text(path)


def _in_editor(desk: Desk, texts: Mapping[str, str]) -> dict[str, str]:
    """Those of the texts that an editor has open: there they are not on the disk yet."""
    return {path: text for path, text in texts.items() if _text_in_editor(desk, path) is not None}
