"""The page of a desk as a whole: it follows what is saved, says what is wrong, and can be used by everyone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import DESK, PHONE, Open, held_up, violations
from desks import SCRIPT, WRONG, served
from patience import until

from cavata.desk.score import mapped

expect = pytest.importorskip("playwright.sync_api", reason="playwright is not installed").expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from cavata.desk.server import Server

pytestmark = pytest.mark.slow


def says(page: Page, text: str) -> None:
    expect(page.locator("#status")).to_contain_text(text)


def test_the_secret_does_not_stay_in_the_address(server: Server, opened: Open) -> None:
    page = opened(server)
    says(page, "as last saved")
    assert page.url == f"{server.guard.origin}/"
    assert page.evaluate("document.cookie") == ""


def test_a_mistake_leaves_the_last_page_and_tells_its_bar(server: Server, script: Path, opened: Open) -> None:
    page = opened(server)
    says(page, "as last saved")
    script.write_text(WRONG, "utf-8")
    says(page, "has mistakes")
    assert page.locator("#title").inner_text() == "The Lamp"
    page.get_by_role("tab", name="Messages").click()
    told = page.locator("#messages li.error")
    assert "nothing is called `hale`" in told.inner_text() and "To mend: define it" in told.inner_text()
    assert told.get_by_role("button").inner_text() == "bar 5"
    script.write_text(SCRIPT, "utf-8")
    says(page, "as last saved")
    expect(page.locator("#messages li")).to_have_count(0)


def test_a_piece_is_begun_in_an_empty_file(script: Path, opened: Open) -> None:
    """What there is of it is told and shown from the first, whatever is still missing."""
    script.write_text("", "utf-8")
    with served(script) as server:
        page = opened(server)
        says(page, "There is no music in the script yet.")
        script.write_text(SCRIPT.partition("motif")[0], "utf-8")
        expect(page.get_by_role("toolbar", name="Letters of TAMSIN").get_by_role("button")).to_have_count(6)
        expect(page.locator("#score details.at-bar")).to_contain_text("Line 3 the piece has no movement")
        script.write_text(SCRIPT, "utf-8")
        says(page, "as last saved")
        expect(page.locator("#score details.at-bar")).to_have_count(0)
        page.close()  # before its desk ends, to which it would still listen


def test_html_in_a_title_does_nothing(script: Path, server: Server, opened: Open) -> None:
    title = "A title so long that there is hardly room beside it for anything else, and that is read all the same "
    title += "<img src=x onerror=document.title=1><script>document.title=2</script>{token}<!-- scripts -->"
    script.write_text(SCRIPT.replace("The Lamp", title), "utf-8")
    page = opened(server)
    expect(page.locator("#title")).to_have_text(title)
    assert page.locator("img").count() == 0
    assert page.title() == title
    assert page.evaluate("document.querySelector('#status').clientWidth") > 200  # what is said has room beside it
    assert server.guard.token not in page.locator("body").inner_text()


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_the_page_keeps_the_rules_for_accessibility(width: int, server: Server, script: Path, opened: Open) -> None:
    """Source: axe-core, all of its rules."""
    page = opened(server, width)
    says(page, "as last saved")
    script.write_text(WRONG, "utf-8")
    says(page, "has mistakes")
    page.get_by_role("tab", name="Messages").click()
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_panels_are_changed_by_arrows(server: Server, opened: Open) -> None:
    page = opened(server)
    says(page, "as last saved")
    page.get_by_role("tab", name="Note", exact=True).focus()
    page.keyboard.press("ArrowLeft")
    assert page.locator("#messages").is_visible() and not page.locator("#note").is_visible()
    assert page.evaluate("document.activeElement.id") == "tab-messages"


def test_two_pages_see_one_save_and_a_closed_one_is_forgotten(server: Server, script: Path, opened: Open) -> None:
    first, second = opened(server), opened(server, PHONE)
    says(first, "as last saved")
    says(second, "as last saved")
    second.context.close()
    script.write_text(SCRIPT.replace("The Lamp", "The Lantern"), "utf-8")
    expect(first.locator("#title")).to_have_text("The Lantern")
    until(lambda: len(server.desk._followers) == 1 or first.wait_for_timeout(50))


def test_on_a_phone_the_panels_lie_over_the_score_and_are_closed(server: Server, opened: Open) -> None:
    page = opened(server, PHONE)
    says(page, "as last saved")
    assert not page.locator("aside .panel:visible").count()
    tab = page.get_by_role("tab", name="Messages")
    expect(tab).to_be_in_viewport()
    tab.click()
    expect(page.locator("#messages")).to_be_in_viewport()
    page.keyboard.press("Escape")
    expect(page.locator("#messages")).to_be_hidden()
    assert page.evaluate("document.activeElement.id") == "tab-messages"
    tab.click()
    page.get_by_role("button", name="Close").click()
    expect(page.locator("#messages")).to_be_hidden()


MOVED = """() => {
    window.moved = [];
    const places = new Map();
    const look = () => {
        for (const each of document.querySelectorAll("button, select, input, summary, [role=slider]")) {
            if (!each.checkVisibility({ visibilityProperty: true })) continue;
            const { x, y } = each.getBoundingClientRect();
            const now = [each.id || each.textContent, Math.round(x), Math.round(y)].join(" ");
            if (places.has(each) && places.get(each) !== now) window.moved.push(`${places.get(each)} -> ${now}`);
            places.set(each, now);
        }
        requestAnimationFrame(look);
    };
    look();
}"""
"""Watches whatever can be pressed, from the moment in which it is seen."""


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_what_can_be_pressed_stays_where_it_is(
    width: int, server: Server, script: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the page is drawn, while a mistake is told and mended: who presses it must not miss it."""
    known = held_up(monkeypatch, mapped, "view")
    page = opened(server, width)
    page.evaluate(MOVED)
    expect(page.locator(".system[data-drawn=yes]").first).to_be_visible()
    expect(page.get_by_role("slider")).to_have_count(0)
    known.set()
    expect(page.get_by_role("slider")).to_be_visible()
    script.write_text(WRONG, "utf-8")
    says(page, "has mistakes")
    script.write_text(SCRIPT.replace("up P8", "up P8 -> marked ff"), "utf-8")
    says(page, "1 note or rest is new or other than before")
    page.get_by_role("button", name="T F letter 1 of TAMSIN").click()
    says(page, "T, F, letter 1 of TAMSIN sounds")
    assert page.evaluate("window.moved") == []


def test_a_click_is_not_lost_while_the_page_is_drawn_anew(server: Server, script: Path, opened: Open) -> None:
    """What is under a finger that is down is not taken away."""
    page = opened(server)
    expect(page.get_by_role("slider")).to_be_visible()
    page.locator("figure.system").first.locator(".note[data-id] .notehead").first.hover(force=True)
    page.mouse.down()
    with page.expect_response(re.compile("view/system.*state=2")):
        script.write_text(SCRIPT.replace("hail x 2", "hail x 2 -> marked ff"), "utf-8")
    page.wait_for_timeout(100)  # for what must not happen
    page.mouse.up()
    expect(page.locator("#note")).to_contain_text("T, letter 1 of TAMSIN")
    expect(page.locator(".chosen")).to_have_count(1)  # also where it was drawn anew
