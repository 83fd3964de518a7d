"""Then and now: saves, commits, revisions and versions of a piece, in a repository that the test makes."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from desks import SCRIPT, WRONG

from cavata.desk import then_now
from cavata.desk.desk import Desk
from cavata.desk.views import NotThere
from cavata.musicxml.ids import identified
from cavata.musicxml.staves import with_staves

LATER = SCRIPT.replace("violin: hail -> up P8", "violin: hail -> up P8 -> up M2")
WITH_VERSION = SCRIPT + '\nversion high "for the young"\n    violin -> up P8\n'


@pytest.fixture
def desk(script: Path) -> Desk:
    desk = Desk(script, script.name)
    assert desk.state.is_good
    return desk


def saved(desk: Desk, text: str) -> None:
    desk.path.write_text(text, "utf-8")
    desk.save()


def committed(desk: Desk, text: str, words: str) -> None:
    desk.path.write_text(text, "utf-8")
    folder = desk.path.parent
    who = ("-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", "init", "--quiet", str(folder)], check=True)
    subprocess.run(["git", "-C", str(folder), "add", "lamp.cavata"], check=True)
    subprocess.run(["git", "-C", str(folder), *who, "commit", "--quiet", "-m", words], check=True)


def told(desk: Desk, before: str, after: str = "now") -> dict[str, Any]:
    return then_now.told(desk, {"before": before, "after": after})


def test_two_saves_with_the_notes_that_changed(desk: Desk) -> None:
    saved(desk, LATER)
    found = told(desk, "save:1")
    (change,) = found["changes"]
    assert change["text"] == "bars 5 to 6, violin: a major second higher"
    assert (change["movement"], change["bar"], change["was"]) == ("first", 5, 5)
    closing = {mark.id for mark in desk.state.marks if mark.bar in (5, 6)}
    assert set(change["ids"]) == closing and len(closing) == 6
    old = desk.find(1)
    assert old is not None and set(change["before"]) == {mark.id for mark in old.marks if mark.bar in (5, 6)}
    assert (found["before"], found["after"], found["same"], found["longer"]) == (1, 2, False, "")


@pytest.mark.parametrize("copy", ["short", "part:violin", "part:cello"])
def test_the_notes_of_the_copy_that_is_shown(copy: str, desk: Desk) -> None:
    saved(desk, LATER)
    (change,) = then_now.told(desk, {"before": "save:1", "copy": copy})["changes"]
    count = 0 if copy == "part:cello" else 6
    assert (len(change["ids"]), len(change["before"])) == (count, count)
    page = desk.state.written(copy).movements[0]
    names = {name for _, name, _ in identified(with_staves(page))}
    assert {*change["ids"]} <= names


def test_nothing_changed(desk: Desk) -> None:
    saved(desk, SCRIPT + "\n-- a remark\n")
    assert told(desk, "save:1")["same"]


def test_the_last_commit_and_a_revision(desk: Desk) -> None:
    committed(desk, SCRIPT, "first")
    committed(desk, SCRIPT.replace("opening 4 bars", "opening 5 bars"), "longer")
    saved(desk, LATER)
    assert json.loads(then_now.sides(desk, desk.state, {}).body)["commit"].endswith("longer")
    since_commit, since_first = told(desk, "commit"), told(desk, "revision:HEAD~1")
    assert {change["text"] for change in since_first["changes"]} == {"bars 5 to 6, violin: a major second higher"}
    assert len(since_commit["changes"]) > 1 and since_commit["longer"] == "2 s shorter"
    state = desk.find(since_commit["before"])
    assert state is not None and state.score is not None and len(state.score.movements[0].bars) == 7
    assert told(desk, "commit")["before"] == since_commit["before"]  # read from git once


def test_a_version_of_the_piece(desk: Desk) -> None:
    saved(desk, WITH_VERSION)
    assert json.loads(then_now.sides(desk, desk.state, {}).body)["versions"] == ["high"]
    found = told(desk, "now", "version:high")
    assert {"an octave higher" in change["text"] for change in found["changes"] if change["bar"]} == {True}


@pytest.mark.parametrize(
    "before",
    ["save:9", "save:x", f"save:{'9' * 5000}", "commit", "revision:nowhere", "version:solo", "yesterday"],
    ids=lambda which: which[:20],
)
def test_what_is_not_there_is_said(before: str, desk: Desk) -> None:
    with pytest.raises(NotThere, match=r"\w"):
        told(desk, before)
    assert json.loads(then_now.then(desk, desk.state, {"before": before}).body)["said"]


def test_a_save_with_mistakes_is_compared_with_nothing(desk: Desk) -> None:
    saved(desk, WRONG)
    with pytest.raises(NotThere, match="mistakes"):
        told(desk, "save:2")
    assert told(desk, "save:1")["same"]  # with the last good one
