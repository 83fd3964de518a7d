"""What is seen first of a piece is there before it is compiled, when its desk is opened again and nothing changed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the extra `desk` is not installed")
pytest.importorskip("verovio", reason="the extra `desk` is not installed")

from desks import SCRIPT, WRONG, Browser, served
from patience import WAIT, until

from cavata.desk.desk import Desk
from cavata.desk.opening import Opening
from cavata.desk.score import seen
from cavata.draft import NotDrawn

pytestmark = pytest.mark.slow
ASKED = ("about?state=1", "score?copy=score&room=wide&state=1", "system?copy=score&room=wide&state=1&system=0",
         "names?state=1", "map?room=wide&state=1")  # fmt: skip


@pytest.fixture
def kept(script: Path) -> Iterator[tuple[Path, dict[str, bytes]]]:
    """A script whose page was seen, and what it was told."""
    with served(script) as server:
        browser = Browser(server)
        browser.enter()
        told = {each: browser.ask("GET", f"/view/{each}")[2] for each in ASKED}
    yield script, told


def _late(part: str, notes: str) -> str:
    """The script with a part that plays for the first time long after the first system."""
    text = SCRIPT.replace("opening 4 bars", "opening 40 bars")
    text = text.replace("    cello  =", f"    {part} = {part}\n    cello  =")
    return f"{text}        {part}: notes({notes})\n"


IMPOSSIBLE = SCRIPT.replace("violin: hail -> up P8", "violin: notes(1/4 G3+A3 rest rest)")
"""Both notes lie on the lowest string of a violin."""


@pytest.mark.parametrize("room", ["wide", "narrow"])
@pytest.mark.parametrize("text", [SCRIPT, _late("flute", "1/4 D5 A4 D5")])
def test_the_first_system_is_told_before_the_rest_and_is_that_of_the_whole(
    script: Path, text: str, room: str
) -> None:
    script.write_text(text, "utf-8")
    with served(script, watched=False) as server:
        browser = Browser(server)
        browser.enter()
        first = browser.view(f"first?room={room}")
        assert "systems" not in server.desk.shelf  # nothing was notated here
        asked = f"copy={'score' if room == 'wide' else 'short'}&room={room}&state=1"
        whole = browser.view(f"score?{asked}")
        assert first["system"] == whole["systems"][0]
        assert first["picture"].encode() == browser.ask("GET", f"/view/system?{asked}&system=0")[2]
        assert (first["copy"], first["room"], first["title"]) == (whole["copy"], room, "")
        assert browser.view(f"first?room={room}") == first  # for another page
        server.desk.save({str(script): text.replace("up P8", "up P8 -> marked f")})
        assert browser.view(f"first?room={room}") == {}


def test_the_first_system_is_there_too_when_a_page_asks_later_than_the_piece_is_compiled(script: Path) -> None:
    with served(script, watched=False) as server:
        server.desk.save()
        browser = Browser(server)
        browser.enter()
        first = browser.view("first?room=wide")
        assert "systems" not in server.desk.shelf  # nothing was notated here
        assert first["system"] == browser.view("score?copy=score&room=wide&state=1")["systems"][0]


def test_a_first_system_that_is_another_in_the_whole_gives_way(script: Path) -> None:
    """The drums are tuned at the beginning to all that they play in the movement."""
    script.write_text(_late("timpani", "1/4 D3 A2 D3"), "utf-8")
    with served(script, watched=False) as server:
        browser = Browser(server)
        browser.enter()
        first = browser.view("first?room=wide")
        whole = browser.view("score?copy=score&room=wide&state=1")["systems"]
        picture = browser.ask("GET", "/view/system?copy=score&room=wide&state=1&system=0")[2].decode()
        assert "in A, D" in picture and "in A, D" not in first["picture"]
        assert whole[0]["number"] != first["system"]["number"]


@pytest.mark.parametrize("text", [WRONG, IMPOSSIBLE])
def test_no_first_system_is_told_of_a_piece_with_mistakes(script: Path, text: str) -> None:
    script.write_text(text, "utf-8")
    with served(script, watched=False) as server:
        browser = Browser(server)
        browser.enter()
        assert browser.view("first?room=wide") == {}
        assert not server.desk.state.is_good


def test_a_room_that_is_none_has_no_first_system(kept: tuple[Path, dict[str, bytes]]) -> None:
    path, told = kept
    with served(path, watched=False) as server:
        browser = Browser(server)
        browser.enter()
        first = browser.view("first?room=wide")
        assert first["picture"].encode() == told[ASKED[2]] and not server.desk.is_compiled
        assert browser.view("first?room=narrow") == {}  # it was not seen there
        server.desk.save()
        assert browser.view("first?room=hall") == {}


def _answers(path: Path) -> dict[str, bytes]:
    """What a page is told at once, nothing being compiled."""
    with served(path, watched=False) as server:
        browser = Browser(server)
        browser.enter()
        told = {each: browser.ask("GET", f"/view/{each}")[2] for each in ASKED[:3]}
        assert not server.desk.is_compiled
    return told


def _without_numbers(body: bytes) -> Any:
    told = json.loads(body)
    for each in told.get("systems", ()):
        del each["number"]
    return told


def test_the_same_is_told_before_anything_is_compiled(kept: tuple[Path, dict[str, bytes]]) -> None:
    path, told = kept
    again = _answers(path)
    for question in ASKED[:2]:
        assert _without_numbers(again[question]) == _without_numbers(told[question])
    assert again[ASKED[2]] == told[ASKED[2]]


def test_the_page_goes_on_from_there(kept: tuple[Path, dict[str, bytes]]) -> None:
    """The systems that it has keep their numbers when the piece is compiled, and after a save all but one."""
    path, _ = kept
    shown = [each["number"] for each in json.loads(_answers(path)[ASKED[1]])["systems"]]
    desk = Desk(path)
    compiled = json.loads(seen.score(desk, desk.state, {}).body)
    assert [each["number"] for each in compiled["systems"]] == shown
    desk.save({str(path): SCRIPT.replace("up P8", "up P8 -> marked f")})
    after = json.loads(seen.score(desk, desk.state, {"since": "1"}).body)
    assert [each["number"] for each in after["systems"]][:-1] == shown[:-1]
    assert after["changed"] == ["first-violin-closing-hail-1"]


def test_nothing_is_told_of_a_script_that_changed(kept: tuple[Path, dict[str, bytes]]) -> None:
    path, _ = kept
    assert Opening.of(path) is not None
    path.write_text(SCRIPT.replace("up P8", "up P15"), "utf-8")
    assert Opening.of(path) is None


def test_a_script_that_changes_while_the_page_shows_what_was_kept_is_another_state(
    kept: tuple[Path, dict[str, bytes]]
) -> None:
    path, _ = kept
    desk = Desk(path)
    assert desk.opening is not None
    path.write_text(SCRIPT.replace("up P8", "up P15"), "utf-8")
    assert desk.state.number == 2


def test_what_an_editor_has_not_saved_is_another_state(kept: tuple[Path, dict[str, bytes]]) -> None:
    path, _ = kept
    assert Desk(path).save({str(path): SCRIPT}).number == 1
    assert Desk(path).save({str(path): SCRIPT.replace("up P8", "up P15")}).number == 2


def test_the_events_begin_with_what_was_kept(kept: tuple[Path, dict[str, bytes]]) -> None:
    path, _ = kept
    desk = Desk(path)
    assert desk.opening is not None
    kept_event = desk.opening.event
    assert kept_event == desk.event()


def test_a_system_is_drawn_here_where_the_process_for_it_is_gone(script: Path) -> None:
    from cavata.desk.score.engraver import EngraverProcess

    desk = Desk(script)
    now = seen.layout(desk, desk.state, "score", "wide")
    cut, _ = now.cut(now.systems[0])
    engraver = EngraverProcess()
    assert engraver.draw(cut) is None
    engraver.begin()
    drawn = engraver.draw(cut)
    assert drawn is not None and drawn.startswith(b"<svg")
    process = engraver._process
    assert process is not None
    process.kill()
    until(lambda: process.poll() is not None)
    assert engraver.draw(cut) is None
    engraver.begin()
    assert engraver.draw(cut) == drawn
    engraver.end()


def test_the_process_ends_with_us() -> None:
    from cavata.desk.score.engraver import EngraverProcess

    engraver = EngraverProcess()
    engraver.begin()
    process = engraver._process
    assert process is not None and process.stdin is not None
    process.stdin.close()
    assert process.wait(WAIT) == 0


def test_what_cannot_be_drawn_is_said() -> None:
    from cavata.draft.music import drawn_system

    with pytest.raises(NotDrawn):
        drawn_system(b"no music", 20, 1)


def test_the_first_save_tells_what_changed(kept: tuple[Path, dict[str, bytes]]) -> None:
    """Though no page asked for the state before since the piece was compiled: it was shown as it was kept."""
    path, _ = kept
    desk = Desk(path)
    assert desk.state.number == 1
    desk.save({str(path): SCRIPT.replace("up P8", "up P8 -> marked f")})
    after = json.loads(seen.score(desk, desk.state, {"since": "1"}).body)
    assert after["changed"] == ["first-violin-closing-hail-1"]
