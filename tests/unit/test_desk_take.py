"""Rows taken from the page are written into the script and taken back, and never over what somebody else wrote."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import pytest
from desks import SCRIPT, events

pytest.importorskip("starlette", reason="the extra `desk` is not installed")

from cavata.desk.desk import Desk
from cavata.desk.views import NotThere
from cavata.desk.writing import MOST_UNDONE, take, undo
from cavata.syntax.edits import Edit, applied

OLD, NEW = "violin: hail -> up P8", "violin: hail -> up P5"
TAKEN = SCRIPT.replace(OLD, NEW)


def row(text: str = SCRIPT, old: str = OLD, new: str = NEW) -> Edit:
    return Edit(text.index(old), text.index(old) + len(old), new)


def test_a_row_is_written_and_taken_back(script: Path) -> None:
    desk = Desk(script)
    state = desk.save()
    script.chmod(0o640)
    with events(desk) as told:
        take(desk, state, {str(script): [row()]}, "a fifth")
        assert script.read_text("utf-8") == TAKEN
        assert script.stat().st_mode & 0o777 == 0o640
        assert desk.can_undo and desk.state.texts == {str(script): TAKEN}
        assert undo(desk) == "a fifth"
        assert script.read_text("utf-8") == SCRIPT and not desk.can_undo
        assert [event["state"] for event in told] == [2, 3]
    with pytest.raises(NotThere, match="nothing to take back"):
        undo(desk)


def test_line_ends_and_the_byte_order_mark_stay(script: Path) -> None:
    content = b"\xef\xbb\xbf" + SCRIPT.replace("\n", "\r\n").encode()
    script.write_bytes(content)
    desk = Desk(script)
    take(desk, desk.save(), {str(script): [row(new="violin: hail\n        violin at bar 2: hail")]}, "two rows")
    assert script.read_bytes() == content.replace(OLD.encode(), b"violin: hail\r\n        violin at bar 2: hail")
    undo(desk)
    assert script.read_bytes() == content


def test_a_file_that_changed_meanwhile_is_left_alone(script: Path) -> None:
    desk = Desk(script)
    state = desk.save()
    other = SCRIPT.replace("The Lamp", "The Lantern")
    script.write_text(other, "utf-8")
    with pytest.raises(NotThere, match="has changed meanwhile; nothing was written"):
        take(desk, state, {str(script): [row()]}, "a fifth")
    assert script.read_text("utf-8") == other and not desk.can_undo
    take(desk, desk.save(), {str(script): [row(other)]}, "a fifth")
    script.write_text(SCRIPT, "utf-8")
    with pytest.raises(NotThere, match="has changed meanwhile"):
        undo(desk)
    assert script.read_text("utf-8") == SCRIPT and desk.can_undo


def test_of_two_files_none_is_written_if_one_has_changed(script: Path) -> None:
    tunes = script.parent / "tunes.cavata"
    tunes.write_text("language 2\nmotif far = notes(1/4 D4 E4 F4)\n", "utf-8")
    text = SCRIPT.replace("forces", 'use far from "tunes.cavata"\n\nforces').replace(OLD, "violin: far")
    script.write_text(text, "utf-8")
    desk = Desk(script)
    state = desk.save()
    edits = {
        str(script): [row(text, "violin: far", "violin: far x 2")],
        str(tunes): [row(state.texts[str(tunes)], "F4", "G4")],
    }
    tunes.write_text("language 2\nmotif far = notes(1/4 D4 E4 A4)\n", "utf-8")
    with pytest.raises(NotThere, match=r"`tunes.cavata` has changed meanwhile"):
        take(desk, state, edits, "both")
    assert script.read_text("utf-8") == text
    take(desk, desk.save(), {**edits, str(tunes): [row(tunes.read_text(), "A4", "G4")]}, "both")
    assert "far x 2" in script.read_text("utf-8") and "G4" in tunes.read_text("utf-8")
    undo(desk)
    assert script.read_text("utf-8") == text and "A4" in tunes.read_text("utf-8")


def test_a_file_outside_of_the_folder_is_not_written(tmp_path: Path) -> None:
    home, library = tmp_path / "home", tmp_path / "library"
    for folder in (home, library):
        folder.mkdir()
    tunes = library / "tunes.cavata"
    tunes.write_text("language 2\nmotif far = notes(1/4 D4 E4 F4)\n", "utf-8")
    script = home / "lamp.cavata"
    text = SCRIPT.replace('composer "A. Composer"', 'composer "A. Composer"\n    library "../library"')
    text = text.replace("forces", "use far from tunes\n\nforces").replace(OLD, "violin: far")
    script.write_text(text, "utf-8")
    desk = Desk(script)
    state = desk.save()
    assert state.is_good and str(tunes) in state.texts
    with pytest.raises(NotThere, match="is not a file of the script's own folder"):
        take(desk, state, {str(tunes): [row(state.texts[str(tunes)], "F4", "G4")]}, "a tune")
    assert "F4" in tunes.read_text("utf-8")


def test_a_file_that_cannot_be_written_is_told(script: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    desk = Desk(script)
    state = desk.save()
    monkeypatch.setattr("cavata.desk.writing.rewrite_together", full)
    with pytest.raises(NotThere, match="No space left on device"):
        take(desk, state, {str(script): [row()]}, "a fifth")
    assert script.read_text("utf-8") == SCRIPT and not desk.can_undo


def test_many_are_taken_back_in_turn(script: Path) -> None:
    desk = Desk(script)
    for number in range(MOST_UNDONE + 3):
        text = script.read_text("utf-8")
        take(desk, desk.state, {str(script): [Edit(len(text), len(text), f"-- {number}\n")]}, str(number))
    assert [undo(desk) for _ in range(MOST_UNDONE)] == [str(n) for n in range(MOST_UNDONE + 2, 2, -1)]
    assert script.read_text("utf-8") == SCRIPT + "-- 0\n-- 1\n-- 2\n"
    assert not desk.can_undo


# ---------------------------------------------------------------- through an editor


class Opened:
    """An editor with one file open."""

    def __init__(self, path: Path, text: str) -> None:
        self.path, self.now, self.willing = str(path), text, True
        self.shown: list[tuple[str, int, int]] = []

    def text(self, path: str) -> str | None:
        return self.now if path == self.path else None

    def edit(self, path: str, edits: Iterable[Edit], text: str, what: str) -> bool:
        if not self.willing or path != self.path or text != self.now:
            return False
        self.now = applied(text, edits)
        return True

    def show(self, path: str, start: int, end: int) -> bool:
        self.shown.append((path, start, end))
        return path == self.path


def test_what_an_editor_has_open_it_changes_itself(script: Path) -> None:
    editor = Opened(script, SCRIPT)
    desk = Desk(script, editor=editor)
    take(desk, desk.save(), {str(script): [row()]}, "a fifth")
    assert editor.now == TAKEN
    assert script.read_text("utf-8") == SCRIPT  # it is the editor's to save
    assert desk.state.texts == {str(script): TAKEN}
    assert desk.save().texts == {str(script): TAKEN}  # another file was saved meanwhile
    undo(desk)
    assert editor.now == SCRIPT and desk.state.texts == {str(script): SCRIPT}


def test_what_is_typed_and_not_saved_is_left_alone(script: Path) -> None:
    editor = Opened(script, SCRIPT + "-- typed\n")
    desk = Desk(script, editor=editor)
    with pytest.raises(NotThere, match="has changed meanwhile"):
        take(desk, desk.save(), {str(script): [row()]}, "a fifth")
    assert editor.now == SCRIPT + "-- typed\n" and script.read_text("utf-8") == SCRIPT


def test_an_editor_that_does_not_do_it_is_told(script: Path) -> None:
    editor = Opened(script, SCRIPT)
    editor.willing = False
    desk = Desk(script, editor=editor)
    with pytest.raises(NotThere, match="the editor did not change `lamp.cavata`"):
        take(desk, desk.save(), {str(script): [row()]}, "a fifth")
    assert not desk.can_undo and os.listdir(script.parent) == ["lamp.cavata"]
