"""What if, and then and now, on the page: cards seen, heard, taken and taken back; two saves beside each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import HEARD, PHONE, Open, comes, held_up, listen, violations
from desks import SCRIPT
from patience import until

from cavata.desk import offers

expect = pytest.importorskip("playwright.sync_api", reason="playwright is not installed").expect
pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from cavata.desk.server import Server

pytestmark = pytest.mark.slow
LATER = SCRIPT.replace("violin: hail -> up P8", "violin: hail -> up P8 -> up M2")


def asked(page: Page, kind: str, **fields: str) -> None:
    """Ask for cards, and wait for them."""
    page.get_by_role("tab", name="What if").click()
    page.locator("#offer-kind").select_option(label=kind)
    for label, value in fields.items():
        field = page.locator("#offers").get_by_label(label, exact=True)
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    page.get_by_role("button", name="Look").click()
    expect(page.locator("#offer-said")).not_to_have_text("Looking …")


def test_a_card_is_seen_heard_taken_and_taken_back(server: Server, script: Path, opened: Open) -> None:
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    asked(page, "another reading of a name", Name="tamsin")
    card = page.locator("#offer-cards .card").first
    card.get_by_role("button", name="See").click()
    expect(card.locator(".glimpse > svg")).to_be_visible()
    listen(page)
    card.get_by_role("button", name="Hear").click()
    comes(page, HEARD)
    assert script.read_text("utf-8") == SCRIPT
    row = card.locator("pre").text_content() or ""
    card.get_by_role("button", name="Take").click()
    expect(page.locator("#offer-said")).to_contain_text("Written into the script")
    assert row.splitlines()[-1] in script.read_text("utf-8")
    page.get_by_role("button", name="Take back").click()
    until(lambda: script.read_text("utf-8") == SCRIPT)


def test_nothing_can_be_asked_before_it_is_known_what_there_is(
    server: Server, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = held_up(monkeypatch, offers, "choices")
    page = opened(server)
    page.get_by_role("tab", name="What if").click()
    expect(page.locator("#score svg.music").first).to_be_visible()
    expect(page.locator("#offer-kind")).to_be_disabled()
    expect(page.get_by_role("button", name="Look")).to_be_disabled()
    known.set()
    expect(page.locator("#offer-kind")).to_be_enabled()


def test_other_instruments_and_lengths_are_asked_for_in_words(server: Server, opened: Open) -> None:
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    asked(page, "a part on another instrument", Part="cello", Instrument="viola")
    expect(page.locator("#offer-cards h3")).to_have_text("Cello: viola")
    asked(page, "another length", Length="soon")
    expect(page.locator("#offer-said")).to_contain_text("write a length as")
    asked(page, "another length", Length="14 s")
    expect(page.locator("#offer-cards h3")).to_contain_text(["14.03 s"])


def test_two_saves_beside_each_other(server: Server, script: Path, opened: Open) -> None:
    page = opened(server, PHONE)
    expect(page.locator("#status")).to_contain_text("as last saved")
    script.write_text(LATER, "utf-8")
    until(lambda: server.desk.state.number == 2)
    page.get_by_role("tab", name="Then and now").click()
    expect(page.locator("#compare-before")).to_have_value("save:1")
    page.get_by_role("button", name="Compare").click()
    change = page.locator("#compare-changes .card")
    expect(change.locator("p").first).to_have_text("bars 5 to 6, violin: a major second higher")
    change.get_by_role("button", name="See").click()
    expect(change.locator(".glimpse .lit-compare").first).to_be_visible()
    assert change.locator(".glimpse").count() == 2
    page.evaluate("cavata.on('heard', (told) => { (window.told = window.told || []).push(told); })")
    listen(page)
    change.get_by_role("button", name="Hear both").click()
    comes(page, HEARD)
    states = "[...new Set((window.told || []).filter((each) => each.ids.length).map((each) => each.state))]"
    comes(page, f"String({states}) === '1,2'")
    assert violations(page) == []


def test_the_cards_keep_the_rules_for_accessibility(server: Server, opened: Open) -> None:
    """Source: axe-core, all of its rules."""
    page = opened(server)
    expect(page.locator("#status")).to_contain_text("as last saved")
    asked(page, "a name by another cipher", Name="tamsin")
    page.locator("#sound-parts summary").click()
    assert violations(page) == []
