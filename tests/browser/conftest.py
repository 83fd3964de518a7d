"""A desk in a real browser: headless Chromium, driven by Playwright.

Where there is none the tests are left out and say so; where `BROWSER_TESTS` says `required`, as in `.ci/run`, they
fail. Rules for accessibility are those of axe-core (MPL-2.0), whose `axe.min.js` `AXE_CORE` names.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Any

import pytest
from lateness import SEED, make_late, make_slow
from patience import WAIT, until

if TYPE_CHECKING:
    from types import ModuleType

    from playwright.sync_api import Browser, ConsoleMessage, Error, Page

    from cavata.desk.desk import Desk
    from cavata.desk.server import Server
    from cavata.desk.state import State

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
AXE = Path(os.environ.get("AXE_CORE", "") or "/nonexistent")
PHONE, DESK, HEIGHT = 390, 1280, 900
HEARD = "window.wasHeard"
"""On a page that listens: something was heard."""
Open = Callable[..., "Page"]


def left_out(reason: str) -> None:
    """Leave a test out, where that is allowed."""
    if os.environ.get("BROWSER_TESTS") == "required":
        pytest.fail(f"a browser test cannot run: {reason}")
    pytest.skip(reason)


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One for each file: while it runs, Playwright has a loop of its own in this thread, and no other can begin."""
    if CHROMIUM is None:
        left_out("there is no Chromium on the path")
    try:
        from playwright.sync_api import expect, sync_playwright
    except ModuleNotFoundError:
        left_out("playwright is not installed")
    expect.set_options(timeout=WAIT * 1000)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"], timeout=WAIT * 1000
        )
        yield browser
        browser.close()


def new_page(chromium: Browser, width: int) -> Page:
    """A window of a width, in which everything is waited for."""
    page = chromium.new_page(viewport={"width": width, "height": HEIGHT})
    page.set_default_timeout(WAIT * 1000)
    if SEED:
        make_slow(page)
    return page


@pytest.fixture(autouse=bool(SEED))
def late(monkeypatch: pytest.MonkeyPatch) -> None:
    """All desks are late, where `LATE` says so."""
    make_late(monkeypatch)


@pytest.fixture(scope="module")
def windows(chromium: Browser) -> list[Page]:
    """Those that no test uses: opening one takes longer than what most tests do on it."""
    return []


@pytest.fixture
def opened(chromium: Browser, windows: list[Page]) -> Iterator[Open]:
    """Opens the page of a desk, at a width; what goes wrong on it fails the test. Each desk has an origin of its own,
    so nothing is left on a window of the test before but its cookies, which are taken away."""
    pages: list[Page] = []
    wrong: list[str] = []

    def went_wrong(error: Error) -> None:
        wrong.append(str(error))

    def said(message: ConsoleMessage) -> None:
        if message.type == "error":
            wrong.append(message.text)

    def open_page(server: Server, width: int = DESK) -> Page:
        page = windows.pop() if windows else new_page(chromium, width)
        pages.append(page)
        page.set_viewport_size({"width": width, "height": HEIGHT})
        page.on("pageerror", went_wrong)
        page.on("console", said)
        page.goto(server.guard.addresses()[0])
        return page

    yield open_page
    for page in pages:
        if page.is_closed():
            continue
        page.goto("about:blank")
        page.remove_listener("pageerror", went_wrong)
        page.remove_listener("console", said)
        page.context.clear_cookies()
        windows.append(page)
    assert wrong == []


def held_up(patch: pytest.MonkeyPatch, module: ModuleType, view: str, **which: str) -> Event:
    """Have pages wait for a view of a module, or for those of its answers that are asked for so, until the event is
    set."""
    known, answer = Event(), getattr(module, view)

    def late(desk: Desk, state: State, wanted: dict[str, str]) -> Any:
        if which.items() <= wanted.items():
            assert known.wait(WAIT)
        return answer(desk, state, wanted)

    patch.setattr(module, view, late)
    return known


def comes(page: Page, expression: str) -> None:
    """Wait until something holds on the page, whose policy lets nobody wait for it there."""
    until(lambda: page.evaluate(expression) or page.wait_for_timeout(30), expression)


def listen(page: Page) -> None:
    """Let a page notice from now on whether anything is heard, however short it is."""
    page.evaluate("""() => {
        window.wasHeard = false;
        window.listening ||= setInterval(() => { window.wasHeard ||= cavata.sound.strength() > 0.005; }, 20);
    }""")


def violations(page: Page) -> list[tuple[str, str]]:
    """What axe-core finds: rule and element."""
    if not AXE.is_file():
        left_out("AXE_CORE names no axe.min.js")
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]]
