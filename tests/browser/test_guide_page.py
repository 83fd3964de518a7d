"""The page of a guide: note heads are lit while an example is heard, or in the same time where there is no sound.

The page is opened from the disk, as its readers open it.
"""

from __future__ import annotations

from base64 import b64encode
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import DESK, HEIGHT, PHONE, comes, left_out, new_page, violations
from patience import until

from cavata.draft.engravers import Engraver
from cavata.pipeline import compile_script
from cavata.record import replace
from cavata.tell.guide.guide import Guide, guide_of
from cavata.tell.guide.html import guide_html
from cavata.tell.guide.pictures import Media, examples_of, media_of
from cavata.tell.guide.words import Telling
from cavata.tell.language import language

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
pytest.importorskip("verovio", reason="the extra `draft` is not installed")

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.slow

SCRIPT = """\
language 2
piece "The Lamps Along the Harbor at Low Water"
    composer "A. Composer"
    dedication "for all who wait on the other shore"
use french from ciphers
name tamsin = "TAMSIN" by french
motif hail = tamsin -> in (1/8 1/4)
motif call = tamsin -> in (1/8) -> up M2
forces
    violin = violin
movement first
    violin: hail, call
"""
EIGHTH = 60 / 72 / 2
"""Seconds; examples are played at 72 quarters a minute."""
NUMBERS = "[...document.querySelectorAll('figure')].map((each) => [...each.querySelectorAll('.sheet i')].flatMap(" \
    "(mark, number) => mark.classList.contains('lit') ? [number] : []))"  # fmt: skip


COMPARED = """async (addresses) => {
    const [one, other] = await Promise.all(addresses.map(async (address) => {
        const image = new Image(900);
        image.src = address;
        await image.decode();
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [900, 900 * image.naturalHeight / image.naturalWidth];
        const pen = canvas.getContext("2d");
        pen.drawImage(image, 0, 0, canvas.width, canvas.height);
        return pen.getImageData(0, 0, canvas.width, canvas.height).data.filter((_, place) => place % 4 === 3);
    }));
    const sum = (values) => values.reduce((all, value) => all + value, 0);
    const apart = (ink, at) => Math.max(0, Math.abs(ink - other[at]) - 64);
    return one.length === other.length ? sum([...one].map(apart)) / sum(one) : 1;
}"""
"""How much of the ink differs, as a share of all. A quarter of a pixel's ink is let pass: edges are sampled four times
a pixel, and a thousandth may be the one that decides."""


def told_of() -> tuple[Guide, Telling]:
    """The guide of the script, and what it tells."""
    path = Path("piece.cavata")
    made = compile_script(path, path.name, SCRIPT)
    assert made.program and made.plan and made.score and made.loaded
    guide = guide_of(made.program, made.plan, made.score, made.loaded.modules[made.loaded.main])
    return guide, Telling(guide, language("en"))


@pytest.fixture(scope="module")
def told() -> tuple[str, str]:
    """The page with sound and without."""
    guide, telling = told_of()
    media = media_of(examples_of(telling.chapters(), Engraver.VEROVIO), lambda said: None)
    assert isinstance(media, Media)
    return guide_html(guide, telling, media), guide_html(guide, telling, replace(media, mp3={}))


ONSETS = [each * EIGHTH for each in (0, 1, 3, 4, 6, 7, 9)]
"""Of the notes of `hail`, eighths and quarters by turns, and where the last one ends."""


def opened(chromium: Browser, page: str, folder: Path, stands: bool = False) -> Page:
    """The page in a window; with a clock that `stands` until the test lets it run."""
    path = folder / "guide.html"
    path.write_text(page, "utf-8")
    shown = new_page(chromium, DESK)
    if stands:
        shown.clock.install(time=0)
    shown.goto(path.as_uri())
    if stands:
        shown.clock.pause_at(3_600_000)
    return shown


def lit(page: Page) -> list[list[int]]:
    """Of each picture the numbers of the heads that are lit, in the order in which they sound."""
    found: list[list[int]] = page.evaluate(NUMBERS)
    return found


def test_without_sound_a_key_has_the_notes_lit_in_their_time(
    chromium: Browser, told: tuple[str, str], tmp_path: Path
) -> None:
    page = opened(chromium, told[1], tmp_path, stands=True)
    first, second = (page.get_by_role("button", name=f"Follow the notes of {name}") for name in ("Tamsin", "hail"))
    assert not any(lit(page)) and page.locator("audio").count() == 0
    second.focus()
    page.keyboard.press("Enter")
    for number, (begin, end) in enumerate(pairwise(ONSETS[:4])):
        page.clock.run_for(50)
        assert lit(page)[:2] == [[], [number]], "just after it begins"
        page.clock.run_for(round((end - begin) * 1000) - 100)
        assert lit(page)[:2] == [[], [number]], "just before it ends"
        page.clock.run_for(50)
    assert second.get_attribute("aria-pressed") == "true"
    first.click()
    page.clock.run_for(50)
    assert second.get_attribute("aria-pressed") == "false" and lit(page)[:2] == [[0], []]
    page.keyboard.press("Space")
    page.clock.run_for(50)
    assert not any(lit(page))
    assert first.get_attribute("aria-pressed") == "false"
    page.close()


SEEN = """() => {
    window.seen = [];
    const whole = document.querySelector(".whole");
    new MutationObserver(() => window.seen.push([NUMBERS, whole.getAttribute("aria-pressed")])).observe(
        document.body, { attributes: true, subtree: true, attributeFilter: ["class"] });
}""".replace("NUMBERS", NUMBERS)
"""What is lit from now on, each time with whether the button of all steps is pressed."""


def goes_on(page: Page, heard: bool, expression: str) -> None:
    """Let the page go on until something holds, where nothing is heard by a clock of its own."""
    until(lambda: page.evaluate(expression) or (page.wait_for_timeout(30) if heard else page.clock.run_for(50)))


@pytest.mark.parametrize("heard", [True, False])
def test_one_button_leads_through_all_steps_of_a_theme(
    heard: bool, chromium: Browser, told: tuple[str, str], tmp_path: Path
) -> None:
    if heard and "<audio" not in told[0]:
        left_out("the extra `audio` is not installed")
    page = opened(chromium, told[0 if heard else 1], tmp_path, stands=not heard)
    page.evaluate(SEEN)
    whole = page.get_by_role("button", name="Every step of")
    assert whole.count() == 1 and whole.text_content() == "Every step of call, one after another"
    whole.focus()
    page.keyboard.press("Enter")
    for step in (2, 3):
        alone = f"lit[{step}].length && lit.flat().length === 1 && pressed === 'true'"
        goes_on(page, heard, f"window.seen.some(([lit, pressed]) => {alone})")
    goes_on(page, heard, "document.querySelector('.whole').getAttribute('aria-pressed') === 'false'")
    # Held at its first step, until the button is pressed again.
    page.evaluate("() => { for (const audio of document.querySelectorAll('audio')) audio.loop = true; }")
    whole.click()
    goes_on(page, heard, f"({NUMBERS})[2].length === 1")
    whole.click()
    goes_on(page, heard, f"({NUMBERS}).flat().length === 0")
    assert whole.get_attribute("aria-pressed") == "false"
    page.close()


def test_another_example_ends_the_way_through_the_steps(
    chromium: Browser, told: tuple[str, str], tmp_path: Path
) -> None:
    page = opened(chromium, told[1], tmp_path, stands=True)
    whole = page.get_by_role("button", name="Every step of")
    whole.click()
    page.clock.run_for(50)
    assert lit(page)[2] == [0]
    page.get_by_role("button", name="Follow the notes of hail").click()
    page.clock.run_for(50)
    assert lit(page)[1] == [0] and lit(page)[2] == []
    assert whole.get_attribute("aria-pressed") == "false"
    page.close()


def test_a_mark_lies_on_its_note_head(chromium: Browser, told: tuple[str, str], tmp_path: Path) -> None:
    """Under the middle of each mark the picture is black; source: the picture itself, as the browser draws it."""
    page = opened(chromium, told[1], tmp_path)
    found: list[list[int]] = page.evaluate("""async () => {
        const sheet = document.querySelector("figure[data-heads] .sheet"), image = sheet.querySelector("img");
        await image.decode();
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [2000, 2000 * image.naturalHeight / image.naturalWidth];
        const pen = canvas.getContext("2d");
        pen.fillStyle = "white";
        pen.fillRect(0, 0, canvas.width, canvas.height);
        pen.drawImage(image, 0, 0, canvas.width, canvas.height);
        const at = (length, share) => length * parseFloat(share) / 100;
        return [...sheet.querySelectorAll("i")].map(({ style }) => [
            ...pen.getImageData(at(canvas.width, style.left), at(canvas.height, style.top), 1, 1).data]);
    }""")
    assert len(found) == 6 and all(color[:3] == [0, 0, 0] for color in found)
    page.close()


@pytest.mark.parametrize("engraver", list(Engraver))
def test_a_picture_made_smaller_looks_as_before(chromium: Browser, engraver: Engraver) -> None:
    """Drawn by the browser at twice the size of the page; source: the picture as it was engraved."""
    _, telling = told_of()
    media = media_of(examples_of(telling.chapters(), engraver), lambda said: None)
    if not isinstance(media, Media):
        left_out(media.message)
    page = new_page(chromium, DESK)
    for picture in media.drawn.values():
        whole, light = f"data:image/svg+xml;base64,{b64encode(picture.svg).decode()}", picture.address
        assert len(light) < len(whole)
        assert page.evaluate(COMPARED, [whole, light]) < 0.004, "of the black of one is missing in the other"
    page.close()


def test_with_sound_the_notes_that_are_heard_are_lit(
    chromium: Browser, told: tuple[str, str], tmp_path: Path
) -> None:  # fmt: skip
    if "<audio" not in told[0]:
        left_out("the extra `audio` is not installed")
    page = opened(chromium, told[0], tmp_path)
    assert page.get_by_role("button", name="Follow").count() == 0
    player = page.get_by_label("Listen to hail")
    player.evaluate("""(audio) => {
        window.lit = [];
        audio.loop = true;
        const marks = [...audio.closest("figure").querySelectorAll(".sheet i")];
        new MutationObserver(() => {
            const number = marks.findIndex((mark) => mark.classList.contains("lit"));
            if (number >= 0) window.lit.push([number, audio.currentTime]);
        }).observe(audio.closest("figure"), { attributes: true, subtree: true, attributeFilter: ["class"] });
    }""")
    player.focus()
    page.keyboard.press("Space")
    comes(page, "new Set(window.lit.map(([number]) => number)).size > 2")
    for number, seconds in page.evaluate("window.lit"):
        assert ONSETS[number] - 0.05 < seconds < ONSETS[number + 1] + 0.05
    page.evaluate("document.querySelectorAll('audio')[0].play()")
    comes(page, f"({NUMBERS})[0][0] === 0 && ({NUMBERS})[1].length === 0")
    assert player.evaluate("(audio) => audio.paused")
    page.close()


SHOWN = """() => ({
    needed: document.documentElement.scrollWidth,
    beyond: [...document.querySelectorAll("main *")].filter(
        (each) => each.getBoundingClientRect().right > innerWidth + 0.5).length,
    pictures: document.images.length,
    blank: [...document.images].filter((each) => !each.naturalWidth).length,
})"""
"""How wide the page is, how much sticks out of its window, and how many pictures there are and are not seen."""


@pytest.mark.parametrize("heard", [True, False])
def test_it_fits_the_screen_and_can_be_read_by_anybody(
    heard: bool, chromium: Browser, told: tuple[str, str], tmp_path: Path
) -> None:
    """Source: axe-core, all of its rules."""
    page = opened(chromium, told[0 if heard else 1], tmp_path)
    if not heard:
        page.get_by_role("button", name="Follow the notes of hail").click()
    for width in (PHONE, DESK):
        page.set_viewport_size({"width": width, "height": HEIGHT})
        shown = page.evaluate(SHOWN)
        assert shown["needed"] <= width and shown["pictures"] > 3 and shown["beyond"] == shown["blank"] == 0
        assert violations(page) == []
    page.close()
