"""Sound on the page: it is heard, the place goes along, parts are muted, and a change is heard without beginning again.

What is heard is measured by the browser itself, as the root mean square of what goes to the sound card.
"""

from __future__ import annotations

import re
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from conftest import HEARD, Open, comes, held_up, listen
from desks import SCRIPT

from cavata.desk.sound import listening

expect = pytest.importorskip("playwright.sync_api", reason="playwright is not installed").expect
pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from cavata.desk.server import Server

pytestmark = pytest.mark.slow


def played(page: Page, from_where: str = "") -> None:
    """Begin to play, and wait until something is heard."""
    page.evaluate("""() => {
        window.told = window.told || [];
        window.places = [];
        const place = document.querySelector("#sound-place");
        new MutationObserver(() => window.places.push(place.textContent)).observe(
            place, { childList: true, characterData: true, subtree: true });
        cavata.on("heard", (told) => { window.told.push(told); });
    }""")
    listen(page)
    if from_where:
        page.evaluate(f"cavata.tell('here', {from_where})")
    page.get_by_role("button", name="Play").click()
    comes(page, HEARD)


def told(page: Page) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = page.evaluate("window.told")
    return found


def test_it_is_heard_and_its_place_goes_along(server: Server, opened: Open) -> None:
    page = opened(server)
    page.get_by_label("Loop").check()
    page.get_by_label("from bar").fill("3")
    page.get_by_label("to bar").fill("4")
    played(page, "{movement: 'first', bar: 3, id: null}")
    comes(page, "window.told.some((each) => each.bar === 4)")
    all_lit = [(each["bar"], set(each["ids"])) for each in told(page) if each["ids"]]
    farthest = accumulate((bar for bar, _ in all_lit), max)
    lit = [each for each, bar in zip(all_lit, farthest, strict=True) if each[0] == bar]
    assert lit[0][0] == 3 and {bar for bar, _ in lit} == {3, 4}
    expect(page.locator("#score .lit-heard").first).to_be_visible()
    marks = {mark.id: mark.bar for mark in server.desk.state.marks}
    assert all({marks[name] for name in ids} <= {bar - 1, bar} for bar, ids in lit)
    expect(page.locator("#sound-place")).to_have_text("first, bar 4")
    page.get_by_role("button", name="Stop").click()
    comes(page, "cavata.sound.strength() === 0")
    assert not page.evaluate("cavata.sound.isPlaying")


def test_from_a_note_that_was_touched(server: Server, opened: Open) -> None:
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    expect(page.locator("#score svg.music").first).to_be_visible()
    expect(page.get_by_role("button", name="Play")).to_be_enabled()
    # What was asked of a state that went meanwhile is no reason to be silent.
    page.evaluate("""() => {
        const { ask } = cavata;
        cavata.ask = (view, params, signal) => {
            if (view !== "heard" || params.state !== 999) return ask(view, params, signal);
            window.refused = true;
            return Promise.reject(new Error("this state is gone"));
        };
        cavata.tell("about", { ...cavata.now.about, state: 999 });
    }""")
    comes(page, "window.refused")
    page.wait_for_timeout(100)  # for what must not happen
    expect(page.locator("#sound-place")).to_have_text("first, bar 1")
    comes(page, "cavata.score.state > 0")  # before, only the first system is shown, and no touch of it is told
    note = [mark for mark in server.desk.state.marks if mark.bar == 2][2]
    page.evaluate(f"cavata.tell('touched', {{id: '{note.id}', movement: 'first', bar: 2}})")
    played(page)
    comes(page, "window.told.length > 0")
    assert note.id in told(page)[0]["ids"]


def test_from_a_note_that_was_clicked_far_from_the_beginning(server: Server, script: Path, opened: Open) -> None:
    script.write_text(SCRIPT.replace("opening 4 bars", "opening 40 bars"), "utf-8")
    server.desk.save()
    page = opened(server)
    expect(page.locator("#score svg.music").first).to_be_visible()
    page.locator(".system").last.scroll_into_view_if_needed()
    # At the note itself: where it stands changes while systems above it are drawn.
    page.locator(".note[data-id='first-violin-closing-hail-4'] .notehead").dispatch_event("click")
    played(page)
    comes(page, "window.told.length > 0")
    assert told(page)[0]["bar"] == 42 and "first-violin-closing-hail-4" in told(page)[0]["ids"]


def test_a_loop_comes_back(server: Server, opened: Open) -> None:
    page = opened(server)
    page.get_by_label("Loop").check()
    page.get_by_label("from bar").fill("6")
    page.get_by_label("to bar").fill("6")
    played(page, "{movement: 'first', bar: 6, id: null}")
    first = [mark.id for mark in server.desk.state.marks if mark.bar == 6][0]
    begins = f"each.ids.includes('{first}') && !(n && window.told[n - 1].ids.includes('{first}'))"
    comes(page, f"window.told.filter((each, n) => {begins}).length > 1")
    assert {each["bar"] for each in told(page)} == {6}


def test_parts_are_muted_and_put_in_front(server: Server, opened: Open) -> None:
    page = opened(server)
    page.get_by_label("Loop").check()
    page.locator("#sound-parts summary").click()
    page.get_by_label("Cello").get_by_role("button", name="In front").click()
    played(page)
    page.get_by_label("Violin", exact=True).locator("input").uncheck()
    page.get_by_label("Cello", exact=True).locator("input").uncheck()
    comes(page, "cavata.sound.isPlaying && cavata.sound.strength() < 0.0005")
    listen(page)
    page.get_by_label("Cello", exact=True).locator("input").check()
    comes(page, HEARD)


def test_a_change_is_heard_while_it_plays(server: Server, script: Path, opened: Open) -> None:
    page = opened(server)
    page.get_by_label("Loop").check()
    page.get_by_label("to bar").fill("2")
    played(page)
    script.write_text(SCRIPT.replace("hail x 2", "notes(12/4 rest)").replace("hail -> down", "rest -> down").replace(
        "cello:  rest -> down P8 for 4 bars", "cello:  4 bars rest"), "utf-8")
    comes(page, "cavata.sound.isPlaying && cavata.sound.strength() < 0.0005")


def test_what_is_saved_while_a_piece_is_asked_for_is_asked_for_instead(
    server: Server, script: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    page.evaluate("cavata.tell('here', {movement: 'first', bar: 6, id: null})")
    known = held_up(monkeypatch, listening, "sound")
    with page.expect_request(re.compile("view/sound[?]")):
        page.get_by_role("button", name="Play").click()
    with page.expect_response(re.compile("view/heard[?].*state=2")):
        script.write_text(SCRIPT.replace("1/4 at 84", "1/4 at 168"), "utf-8")
    listen(page)
    with page.expect_request(re.compile("view/sound[?].*state=2")):
        known.set()
    comes(page, HEARD)


def test_notes_by_themselves(server: Server, opened: Open) -> None:
    page = opened(server)
    listen(page)
    page.evaluate("cavata.sound.tones([[69, 0, 1], [73, 0.2, 1]], 40)")
    comes(page, HEARD)


def test_without_sounds_the_page_says_so(server: Server, opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_SOUNDFONT", "/nonexistent.sf2")
    page = opened(server)
    expect(page.locator("#sound-place")).to_contain_text("There is no sound here: cannot read `nonexistent.sf2`")
    expect(page.get_by_role("button", name="Play")).to_be_disabled()


def test_one_movement_leads_into_the_next(server: Server, script: Path, opened: Open) -> None:
    second = "\nmovement second\n    meter 3/4\n    tempo 1/4 at 84\n    section only 2 bars\n        cello: hail\n"
    script.write_text(SCRIPT.replace("movement first\n", "movement first\n    attacca\n") + second, "utf-8")
    server.desk.save()
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    played(page, "{movement: 'first', bar: 6, id: null}")
    comes(page, "window.told.some((each) => each.movement === 'second' && each.bar === 1 && each.ids.length)")
    comes(page, "window.places.includes('second, bar 1')")
