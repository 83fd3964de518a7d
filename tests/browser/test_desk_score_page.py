"""Names, map, score and the origin of a note on the page of a desk, at the width of a phone and of a desk."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import DESK, HEARD, PHONE, Open, comes, held_up, listen, violations
from desks import SCRIPT, WRONG, served

from cavata.desk.score import names, seen

expect = pytest.importorskip("playwright.sync_api", reason="playwright is not installed").expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from cavata.desk.server import Server

pytestmark = pytest.mark.slow
NOTE = ".system[data-drawn=yes] .note[data-id='{}']"
LAST = "first-violin-closing-hail-1"


def drawn(page: Page) -> None:
    """Wait until the first systems stand on the page."""
    expect(page.locator(".system[data-drawn=yes]").first).to_be_visible()


def full_score(page: Page) -> None:
    page.locator("#copy").select_option("score")
    drawn(page)
    expect(page.locator(NOTE.format("first-violin-opening-hail-1"))).to_be_attached()


def test_the_first_system_stands_before_the_rest_is_there(
    script: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And it is the same on the page when the rest has come; a note that was touched meanwhile tells of itself then."""
    known = held_up(monkeypatch, seen, "score")
    script.write_text(SCRIPT.replace("opening 4 bars", "opening 40 bars"), "utf-8")
    with served(script, watched=False) as server:
        page = opened(server)
        drawn(page)
        page.evaluate("document.querySelector('.system').kept = 'the same'")
        page.locator(".note[data-id] .notehead").first.click(force=True)
        expect(page.locator("#map svg")).to_have_count(0)
        expect(page.locator("#score h2")).to_have_text("first")
        known.set()
        expect(page.locator("#map svg")).to_be_attached()
        expect(page.locator("figure.system").nth(2)).to_be_attached()
        assert page.evaluate("[document.querySelector('.system').kept, window.scrollY]") == ["the same", 0]
        expect(page.locator("#note")).to_contain_text("in bar 1")
        page.close()  # before its desk ends, to which it would still listen


def test_a_letter_lights_its_notes_in_the_score_and_on_the_map(
    server: Server, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T is the first letter of TAMSIN: it is struck where each of seven statements begins; source: the script."""
    page = opened(server)
    drawn(page)
    letter = page.get_by_role("button", name="T F letter 1 of TAMSIN")
    letter.click()
    expect(page.locator(NOTE.format("first-violin-opening-hail-1") + ".lit-name")).to_be_attached()
    expect(page.locator(NOTE.format("first-violin-opening-hail-2") + ".lit-name")).to_have_count(0)
    expect(page.locator(".lit-place").nth(1)).to_be_attached()
    expect(page.locator("#status")).to_contain_text("sounds: 5 notes in 3 bars")
    assert page.evaluate("""() => {
        const [places, texts] = [".lit-place", ".strip text"].map((each) =>
            [...document.querySelectorAll(each)].map((found) => found.getBoundingClientRect()));
        return places.filter((a) => texts.some((b) =>
            a.top < b.bottom - 2 && b.top + 2 < a.bottom && a.left < b.right && b.left < a.right)).length;
    }""") == 0  # they do not stand in what is written on the map
    assert letter.get_attribute("aria-pressed") == "true"
    letter.click()
    expect(page.locator(".lit-name")).to_have_count(0)
    expect(page.locator(".lit-place")).to_have_count(0)
    expect(page.locator("#status")).to_have_text("as last saved")
    known = held_up(monkeypatch, names, "sounding")  # let go before the answer comes
    with page.expect_request(re.compile("view/sounding")):
        letter.click()
    letter.click()
    with page.expect_response(re.compile("view/sounding")):
        known.set()
    page.wait_for_timeout(100)  # for what must not happen
    assert page.locator(".lit-name").count() == 0


def test_a_name_shows_its_themes(server: Server, opened: Open) -> None:
    page = opened(server)
    drawn(page)
    page.get_by_role("button", name="TAMSIN", exact=True).click()
    page.get_by_role("button", name="hail", exact=True).click()
    expect(page.locator("#status")).to_contain_text("hail sounds")
    expect(page.locator(".lit-name").nth(6)).to_be_attached()


def test_the_map_leads_through_the_piece(server: Server, script: Path, opened: Open) -> None:
    script.write_text(SCRIPT.replace("opening 4 bars", "opening 120 bars"), "utf-8")
    page = opened(server, PHONE)
    drawn(page)
    strip = page.get_by_role("slider")
    expect(strip).to_have_attribute("aria-valuetext", "first, bar 1")
    box = strip.bounding_box()
    assert box is not None
    strip.click(position={"x": box["width"] - 12, "y": box["height"] / 2})
    expect(page.locator(".system[data-drawn=yes]").last).to_be_in_viewport()
    expect(page.locator("#map .seen")).to_be_attached()
    strip.press("Home")
    expect(page.locator(".system").first).to_be_in_viewport()
    strip.press("ArrowRight")
    expect(strip).to_have_attribute("aria-valuetext", "first, bar 2")
    strip.press("End")
    for _ in ("copy", "follow", "systems"):
        page.keyboard.press("Tab")
    page.keyboard.press("ArrowRight")  # the score goes on from there
    expect(page.locator(".chosen")).to_have_attribute("data-id", re.compile("closing"))


def test_a_note_tells_where_it_came_from(server: Server, script: Path, opened: Open) -> None:
    page = opened(server)
    drawn(page)
    page.locator(NOTE.format(LAST) + " .notehead").dispatch_event("click")
    note = page.locator("#note")
    expect(note).to_contain_text("F5 in bar 5")
    expect(note).to_contain_text("T, letter 1 of TAMSIN")
    assert [each.inner_text() for each in note.locator(".stages > li > code").all()] == [
        'name tamsin = "TAMSIN" by french', "from F4", "in 1/4", "up P8",
    ]  # fmt: skip
    expect(note.locator("svg [data-here]")).to_have_count(4)
    expect(page.locator(NOTE.format(LAST) + ".lit-touched")).to_be_attached()
    expect(page.locator("#score .place")).to_have_text("Violin: note in bar 5")
    listen(page)
    note.get_by_role("button", name="Hear stage 4").click()
    comes(page, HEARD)
    note.get_by_role("button", name="Open in the editor").click()
    expect(note.locator("[role=status]")).to_contain_text("lamp.cavata, line 23")
    script.write_text(SCRIPT.replace("forces", "-- the players\nforces"), "utf-8")
    expect(note).to_contain_text("lamp.cavata, line 24")  # it is told as it is now


def test_the_keyboard_alone_reaches_a_note(server: Server, opened: Open) -> None:
    page = opened(server)
    drawn(page)
    page.get_by_role("button", name="T F letter 1 of TAMSIN").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("button", name="A A letter 2 of TAMSIN")).to_be_focused()
    page.keyboard.press("Tab")  # a name is one stop
    expect(page.get_by_role("slider")).to_be_focused()
    page.locator(".systems").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator(NOTE.format("first-violin-opening-hail-2") + ".chosen")).to_be_attached()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator("#note")).to_contain_text("A, letter 2 of TAMSIN")
    expect(page.locator(".lit-touched").first).to_have_attribute("data-id", "first-cello-opening-hail-2")


def test_the_arrows_go_on_into_the_next_system(
    server: Server, script: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where it is not drawn yet, but the one after it."""
    known = held_up(monkeypatch, seen, "system", system="1")
    text = SCRIPT.replace("opening 4 bars", "opening 40 bars").replace("violin: hail x 2", "violin: hail x 20")
    script.write_text(text, "utf-8")
    page = opened(server)
    expect(page.locator("figure.system").nth(2)).to_have_attribute("data-drawn", "yes")
    first, second = (page.locator("figure.system").nth(place).locator("[data-id*=violin].note") for place in (0, 1))
    first.last.locator(".notehead").dispatch_event("click")
    page.locator(".systems").focus()
    page.keyboard.press("ArrowRight")
    known.set()
    expect(second.first).to_have_class(re.compile(r"\bchosen\b"))
    page.keyboard.press("ArrowLeft")
    expect(first.last).to_have_class(re.compile(r"\bchosen\b"))


def test_what_comes_when_its_place_is_far_away_does_not_stay(
    server: Server, script: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However much was looked at, only the systems around the window are drawn; names and map are there before."""
    known = held_up(monkeypatch, seen, "system")
    script.write_text(SCRIPT.replace("opening 4 bars", "opening 240 bars"), "utf-8")
    page = opened(server, PHONE)
    expect(page.locator("figure.system").nth(60)).to_be_attached()
    expect(page.get_by_role("slider")).to_be_visible()  # names and map do not wait for drawing
    expect(page.get_by_role("button", name="TAMSIN", exact=True)).to_be_visible()
    for number in (0, 30, 60):
        system = f"document.querySelectorAll('figure.system')[{number}]"
        comes(page, f"{system}.scrollIntoView() || {system}.hasAttribute('aria-busy')")
    known.set()
    expect(page.locator("figure.system").nth(60)).to_have_attribute("data-drawn", "yes")
    figures = "[...document.querySelectorAll('figure.system')]"
    comes(page, f"!{figures}.some((each) => each.hasAttribute('aria-busy'))")
    comes(page, f"""{figures}.every((each) => {{
        const {{ top, bottom }} = each.getBoundingClientRect();
        return !each.dataset.drawn || (top < window.innerHeight + 1000 && bottom > -1000);
    }})""")


def test_what_a_save_changed_glows_and_the_rest_stays(server: Server, script: Path, opened: Open) -> None:
    script.write_text(SCRIPT.replace("opening 4 bars", "opening 40 bars"), "utf-8")
    page = opened(server, PHONE)
    drawn(page)
    full_score(page)
    page.evaluate("document.querySelector('.system').kept = 'the same'")
    # What takes seconds on the page is held until this has been looked at.
    page.evaluate("""() => {
        const later = window.setTimeout;
        window.setTimeout = (act, wait, ...more) => {
            if ((wait || 0) < 5000) return later(act, wait, ...more);
            window.ends = act;
            return 0;
        };
    }""")
    louder = script.read_text("utf-8").replace("up P8", "up P8 -> marked ff")
    script.write_text(louder, "utf-8")
    glowing = page.locator(".glow")
    expect(glowing).to_have_count(1)
    assert glowing.get_attribute("data-id") == LAST
    expect(glowing).to_be_in_viewport()
    assert page.evaluate("document.querySelector('.system').kept") == "the same"
    comes(page, "!!window.ends")
    page.evaluate("window.ends()")
    expect(glowing).to_have_count(0)
    script.write_text(louder.replace("1/4 at 84", "1/4 at 60"), "utf-8")
    expect(page.locator(".measure.glow-bar")).to_have_attribute("data-bar", "1")
    expect(page.locator("#status")).to_contain_text("changed in 1 bar")


def test_a_mistake_is_told_at_its_bar_with_its_cure(server: Server, script: Path, opened: Open) -> None:
    page = opened(server)
    drawn(page)
    script.write_text(WRONG, "utf-8")
    told = page.locator("#score details.at-bar")
    expect(told).to_contain_text("Bar 5")
    told.locator("summary").click()
    expect(told.locator("p")).to_contain_text("To mend: define it")
    expect(page.locator(".measure.wrong").first).to_have_attribute("data-bar", "5")
    script.write_text(SCRIPT, "utf-8")
    expect(told).to_have_count(0)


def test_the_place_of_the_editor_is_shown(server: Server, opened: Open) -> None:
    page = opened(server)
    drawn(page)
    server.desk.light([mark for mark in server.desk.state.marks if mark.id == LAST])
    expect(page.locator(NOTE.format(LAST) + ".lit-editor")).to_be_in_viewport()


def test_a_part_is_shown_alone(server: Server, script: Path, opened: Open) -> None:
    """Long names have to be pushed, but not the page."""
    long = '\nname keeper = "THE KEEPER OF THE LAMP ON THE ROCK" by french'
    script.write_text(SCRIPT.replace("by french", f"by french{long}"), "utf-8")
    page = opened(server, PHONE)
    drawn(page)
    expect(page.locator("#copy")).to_have_value("short")
    page.locator("#copy").select_option("part:cello")
    note = page.locator(NOTE.format("first-cello-opening-hail-1"))
    expect(note).to_be_attached()
    expect(page.locator(NOTE.format("first-violin-opening-hail-1"))).to_have_count(0)
    expect(page.get_by_role("button", name="THE KEEPER OF THE LAMP ON THE ROCK", exact=True)).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_it_keeps_the_rules_for_accessibility_with_a_note_open(server: Server, opened: Open, width: int) -> None:
    """Source: axe-core, all of its rules."""
    page = opened(server, width)
    drawn(page)
    page.get_by_role("button", name="TAMSIN", exact=True).click()
    comes(page, "cavata.score.state > 0")
    page.evaluate("cavata.tell('touched', {id: document.querySelector('.note[data-id]').dataset.id})")
    expect(page.locator("#note .stages svg").first).to_be_visible()
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_html_in_names_does_nothing(server: Server, script: Path, opened: Open) -> None:
    told = "<img src=x onerror=document.title=1>"
    script.write_text(SCRIPT.replace("movement first", f'movement first "{told}"'), "utf-8")
    page = opened(server)
    drawn(page)
    expect(page.locator("#score h2")).to_have_text(told)
    assert page.locator("img").count() == 0 and page.title() == "The Lamp"
