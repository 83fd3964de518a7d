"""A desk through a day: saves however editors make them, mistakes, the script gone and back, two desks on one piece."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
from base64 import urlsafe_b64decode
from collections.abc import Sequence
from contextlib import suppress
from inspect import signature
from pathlib import Path

import pytest
from desks import SCRIPT, WRONG, Browser, events, served
from patience import WAIT, until

pytest.importorskip("starlette", reason="the extra `desk` is not installed")
pytest.importorskip("watchfiles", reason="the extra `desk` is not installed")

from cavata.cache import SAVES
from cavata.desk import desk as desk_module
from cavata.desk import lock
from cavata.desk.desk import Desk
from cavata.desk.server import Server
from cavata.edition import short_score
from cavata.score.score import Movement, Part, Staff


def titled(title: str) -> str:
    return SCRIPT.replace("The Lamp", title)


def shows(server: Server, title: str) -> None:
    def shown() -> bool:
        good = server.desk.last_good
        return good is not None and good.score is not None and good.score.header.title == title

    until(shown, title)


def codes(desk: Desk) -> list[str]:
    return [message["code"] for message in desk.event()["messages"]]


# ---------------------------------------------------------------- saves


def test_a_file_written_over_is_seen(server: Server, script: Path) -> None:
    with events(server.desk) as told:
        script.write_text(titled("Second"), "utf-8")
        shows(server, "Second")
        assert until(lambda: told)[-1] == {"state": 2, "good": 2, "messages": []}


def test_a_file_put_in_its_place_is_seen(server: Server, script: Path) -> None:
    """As editors save that never leave half a file: beside it, then renamed."""
    for title in ("Second", "Third"):
        beside = script.with_name("lamp.cavata~new")
        beside.write_text(titled(title), "utf-8")
        os.replace(beside, script)
        shows(server, title)


def test_a_file_moved_away_and_written_anew_is_seen(server: Server, script: Path) -> None:
    """As editors save that keep a backup."""
    os.replace(script, script.with_name("lamp.cavata~"))
    script.write_text(titled("Second"), "utf-8")
    shows(server, "Second")


def test_a_deleted_script_leaves_the_page_and_may_come_back(server: Server, script: Path) -> None:
    script.unlink()
    until(lambda: codes(server.desk), "the message")
    assert server.desk.last_good is not None and server.desk.last_good.number == 1
    browser = Browser(server)
    browser.enter()
    assert browser.view("about")["title"] == "The Lamp"
    script.write_text(titled("Again"), "utf-8")
    shows(server, "Again")
    assert codes(server.desk) == []


def test_the_whole_folder_may_go_and_come_back(server: Server, script: Path) -> None:
    shutil.rmtree(script.parent)
    until(lambda: codes(server.desk), "the message")
    time.sleep(0.1)
    script.parent.mkdir()
    script.write_text(titled("Again"), "utf-8")
    shows(server, "Again")


def test_a_half_written_script_is_not_taken_for_the_piece(server: Server, script: Path) -> None:
    """Emptied, and written a while later: no page is lost, and no state is made of nothing."""
    text = titled("Second")
    with events(server.desk) as told, script.open("w", encoding="utf-8") as file:
        file.flush()
        os.fsync(file.fileno())
        time.sleep(0.05)
        file.write(text)
    shows(server, "Second")
    assert all(event["good"] for event in told)
    assert [event for event in told if event["messages"]] == []


def test_a_file_that_the_script_uses_is_followed_too(server: Server, script: Path) -> None:
    (script.parent / "tunes.cavata").write_text("language 2\nmotif far = notes(1/4 D4 E4 F4)\n", "utf-8")
    text = SCRIPT.replace("forces", 'use far from "tunes.cavata"\n\nforces')
    script.write_text(text.replace("violin: hail -> up P8", "violin: far"), "utf-8")
    until(lambda: len(server.desk.state.texts) == 2 and server.desk.state.is_good, "both files")
    before = server.desk.state
    (script.parent / "tunes.cavata").write_text("language 2\nmotif far = notes(1/4 D4 E4 G4)\n", "utf-8")
    until(lambda: server.desk.state.number > before.number and server.desk.state.is_good, "the other file")
    assert any("G4" in text for text in server.desk.state.texts.values())


def test_what_is_saved_unchanged_is_no_new_state(server: Server, script: Path) -> None:
    with events(server.desk) as told:
        for _ in range(3):
            script.write_text(SCRIPT, "utf-8")
            time.sleep(0.05)
        (script.parent / "other.cavata").write_text("language 2\n", "utf-8")
        time.sleep(0.1)
        assert server.desk.state.number == 1
    assert told == []


@pytest.mark.slow
def test_many_saves_are_seen_as_few_and_the_last_is_shown(server: Server, script: Path) -> None:
    for number in range(200):
        script.write_text(titled(f"Take {number}"), "utf-8")
    shows(server, "Take 199")
    assert server.desk.state.texts == {str(script): titled("Take 199")}
    assert server.desk.state.number < 200


# ---------------------------------------------------------------- what it answers


def test_every_view_and_deed_is_there_and_says_what_it_does() -> None:
    from cavata.desk import routes

    for table, given in ((routes._VIEWS, ("desk", "state", "wanted")), (routes._DEEDS, ("desk", "sent"))):
        for name, named in table.items():
            function = routes._function(named)
            assert tuple(signature(function).parameters) == given, name
            assert function.__doc__, name


# ---------------------------------------------------------------- what stays


def test_messages_are_told_at_the_bar_that_their_line_made(server: Server, script: Path) -> None:
    """Line 23, the violin's second section, made bar 5; the motif of line 10 begins in bar 1; a comment above moves
    lines and no bars. What a message says of a bar stands at that one: the last note of `hail` is the first too low.
    What it says of a section or a movement stands where that begins."""
    for text, line, bar in (
        (WRONG, 23, 5),
        ("-- above\n-- all\n" + WRONG, 25, 5),
        (SCRIPT.replace("in (1/4)", "in (1/4"), 10, 1),
        (SCRIPT.replace("cello:  hail -> down P8", "cello:  hail -> downward P8"), 21, 1),
        (SCRIPT.replace("composer", "compozer"), 4, None),
        (SCRIPT.replace("violin: hail x 2", "violin: hail -> down M2 x 2"), 20, 2),
        (SCRIPT.replace("section closing 2 bars", "section closing 3 bars"), 22, 5),
        (SCRIPT.replace("tempo 1/4 at 84", "tempo 1/4 at"), 18, 1),
    ):
        script.write_text(text, "utf-8")
        until(lambda text=text: text in server.desk.state.texts.values(), text)
        told = server.desk.event()["messages"][0]
        assert told["line"] == line
        assert told.get("bar") == (None if bar is None else {"movement": "first", "bar": bar})
    assert server.desk.last_good is not None and server.desk.last_good.number == 8


def test_old_states_can_be_had_again_and_few_are_held(script: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk_module, "HELD", 3)
    monkeypatch.setattr(desk_module, "TRIED", 3)
    monkeypatch.setattr(desk_module, "REMEMBERED", 8)
    desk = Desk(script)
    for number in range(1, 13):
        script.write_text(titled(f"Take {number}"), "utf-8")
        assert desk.save().number == number
    numbers, moments = zip(*desk.saves, strict=True)
    assert numbers == (5, 6, 7, 8, 9, 10, 11, 12) and list(moments) == sorted(moments)
    assert len(desk._states) == 3
    assert desk.find(4) is None and desk.find(13) is None
    for number in numbers:
        found = desk.find(number)
        assert found is not None and found.score is not None
        assert found.score.header.title == f"Take {number}"
        assert found.texts == {str(script): titled(f"Take {number}")}
        assert len(desk._tried) <= 3
        assert desk.held(number) is found
    assert desk.held(5) is None  # nothing is compiled again for a page that comes too late
    assert desk.state.number == 12
    folder = SAVES.folder()
    assert folder is not None and folder.stat().st_mode & 0o077 == 0


def test_a_trial_changes_nothing(script: Path) -> None:
    desk = Desk(script)
    state = desk.save()
    with events(desk) as told:
        tried = desk.trial({str(script): titled("Tried")})
        assert tried.score is not None and tried.score.header.title == "Tried" and tried.number < 0
        assert desk.find(tried.number) is tried and desk.state is state
    assert told == [] and script.read_text("utf-8") == SCRIPT


def test_copies_are_those_of_a_build(script: Path) -> None:
    from cavata.edition.copies import WantedCopies, copies

    state = Desk(script).save()
    assert state.copies() == ("score", "short", "part:violin", "part:cello")
    assert state.score is not None
    from cavata.notate.notate import notate

    made = copies(state.score, WantedCopies(parts=None, short=True), state.compiled.bag)
    for name, copy in zip(state.copies(), made, strict=True):
        assert state.written(name) == notate(copy.score)
        assert state.written(name) is state.written(name)
    for name in ("part:flute", "", "scores"):
        with pytest.raises(KeyError):
            state.written(name)


def test_a_percussionists_part_is_called_as_on_the_page(script: Path) -> None:
    from cavata.desk import about

    drums = "    bell = triangle\n    tam = tam tam\n    marimba = marimba\n"
    names = 'staff pair = bell, tam\nstaves second "Percussion II" = pair, marimba\n'
    text = SCRIPT.replace("    cello  =", f"{drums}    cello  =").replace("movement ", f"{names}\nmovement ", 1)
    for given, title in ((text.replace("staff pair = bell, tam\n", "").replace("pair,", "bell, tam,"), "Percussion II"),
                         (text.replace('staves second "Percussion II" = pair, marimba\n', ""), "Triangle, Tam-tam")):
        script.write_text(given.replace("        cello:", "        bell: (1/4)\n        cello:"), "utf-8")
        desk = Desk(script)
        told = json.loads(about.view(desk, desk.save(), {}).body)
        assert title in [copy["title"] for copy in told["copies"]]


def test_the_short_score_is_reduced_anew_just_where_something_changed(script: Path) -> None:
    """After each save it is what it would be if nothing had been kept."""
    from cavata.notate.notate import notate

    winds = SCRIPT.replace("    cello  =", "    flute = flute\n    oboe = oboe\n    cello  =").replace(
        "        cello:", "        flute: hail -> up P8\n        oboe: hail\n        cello:"
    )
    desk = Desk(script)
    made: list[str] = []
    staves = short_score._staves

    def watched(parts: Sequence[Part], movement: Movement, body: short_score.PlayerBody) -> tuple[Staff, ...]:
        made.append(body.kind)
        return staves(parts, movement, body)

    for text in (winds, winds.replace("flute: hail -> up P8", "flute: hail -> up P15"), titled("Another"), winds):
        script.write_text(text, "utf-8")
        state = desk.save()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(short_score, "_staves", watched)
            written = state.written("short")
        assert state.score is not None
        assert written == notate(short_score.short_score(state.score))
    assert made == ["strings", "woodwind", "woodwind", "woodwind"]


# ---------------------------------------------------------------- two desks


def _started(script: Path, *options: str) -> tuple[subprocess.Popen[str], str]:
    command = [sys.executable, "-m", "cavata.cli.main", "desk", str(script), "--no-open", *options]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    return process, process.stdout.readline().strip()


@pytest.mark.slow
def test_a_second_desk_finds_the_first_which_ends_cleanly(
    script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    first, address = _started(script)
    try:
        locks = [*(tmp_path / "cache" / "cavata" / "desks").iterdir()]
        assert [lock.name for lock in locks] == [str(first.pid)]
        assert [lock.stat().st_mode & 0o777 for lock in locks] == [0o600]
        second, again = _started(script)
        assert second.wait(WAIT) == 0 and again == address
        other = tmp_path / "other.cavata"
        other.write_text(SCRIPT, "utf-8")
        third, elsewhere = _started(other)
        assert elsewhere.partition("?")[0] != address.partition("?")[0]
        third.terminate()
        assert third.wait(WAIT) == 0
    finally:
        first.terminate()
    told, wrong = first.communicate(timeout=WAIT)
    assert (first.returncode, told, wrong) == (0, "", "")
    assert [*(tmp_path / "cache" / "cavata" / "desks").iterdir()] == []


def test_a_door_tells_only_who_has_read_the_lock(
    script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And it stays open whatever is asked, also while it cannot answer."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr("cavata.desk.lock.os.getpid", lambda: 1)
    asked: list[Path] = []

    def addresses(path: Path) -> tuple[str, str] | None:
        asked.append(path)
        if len(asked) == 1:
            raise RuntimeError("not yet")
        return ("http://127.0.0.1:1/?key=a", "http://127.0.0.1:1/?key=b") if path == script else None

    door = lock.Door(addresses)
    door.open()
    try:
        told = json.loads(lock.DESKS.read("1") or b"")
        assert len(urlsafe_b64decode(told["secret"] + "==")) * 8 == 128
        for secret in ("", "guessed", told["secret"][:-1]):
            assert lock._asked({**told, "secret": secret}, script) is None
        for sent in (b"", b"\n", b"{\n", b"[]\n", b"x" * 100_000):
            with suppress(OSError), socket.create_connection(("127.0.0.1", told["port"]), WAIT) as connection:
                connection.sendall(sent)
        assert asked == []
        assert lock._asked(told, script) is None  # it was not ready
        assert lock._asked(told, script) == addresses(script)
        assert lock._asked(told, tmp_path / "other.cavata") is None
    finally:
        door.close()
    assert lock.DESKS.read("1") is None
    assert lock._asked(told, script) is None


@pytest.mark.slow
def test_a_desk_that_was_killed_is_not_waited_for(
    script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    first, address = _started(script)
    first.kill()
    first.wait(WAIT)
    second, again = _started(script)
    try:
        assert again.startswith("http://127.0.0.1:") and again.partition("key=")[2] != address.partition("key=")[2]
    finally:
        second.terminate()
        second.communicate(timeout=WAIT)


def test_two_servers_of_one_script_follow_it_both(script: Path) -> None:
    with served(script) as first, served(script) as second:
        browser = Browser(first)
        browser.enter()
        other = Browser(second)
        other.cookie = browser.cookie
        assert other.ask("GET", "/view/about")[0] == 403
        script.write_text(titled("Both"), "utf-8")
        shows(first, "Both")
        shows(second, "Both")


def test_a_desk_without_a_cache_works(script: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", "/dev/null/nowhere")
    desk = Desk(script)
    assert desk.save().is_good
    assert desk.find(1) is desk.state
