"""The page as a folder, opened without a server: seen, heard, and used by everyone."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from conftest import DESK, PHONE, comes, new_page, violations
from desks import SCRIPT, WRONG

from cavata.cli.main import main

expect = pytest.importorskip("playwright.sync_api", reason="playwright is not installed").expect
pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.slow
TITLED = SCRIPT.replace('"The Lamp"', '"</script><b>The Lamp</b>"')


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small piece, written as a folder by the command."""
    place = tmp_path_factory.mktemp("piece")
    (place / "lamp.cavata").write_text(TITLED, "utf-8")
    assert main(["desk", str(place / "lamp.cavata"), "--to", str(place / "given")]) == 0
    return place / "given"


def test_it_is_one_page_and_its_sound(folder: Path) -> None:
    assert {path.suffix for path in folder.iterdir()} in ({".html", ".mp3"}, {".html", ".wav"})
    page = (folder / "index.html").read_text("utf-8")
    assert not re.search(r"""(?:src|href)=["'](?!data:)""", page)
    data = json.loads(page.partition("window.cavataData = ")[2].partition(";</script>")[0])
    assert data["event"]["good"] == 1 and "about" in data["views"]


def test_it_is_seen_and_heard_without_a_server(folder: Path, chromium: Browser) -> None:
    page = new_page(chromium, PHONE)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("request", lambda asked: wrong.append(asked.url) if not asked.url.startswith(("file:", "data:")) else None)
    page.goto((folder / "index.html").as_uri())
    expect(page.locator("#title")).to_have_text("</script><b>The Lamp</b>")
    expect(page.locator("#score svg.music").first).to_be_visible()
    page.locator(".spelled").first.click()
    expect(page.locator("#score .lit-name").first).to_be_visible()
    page.locator("figure.system").first.locator(".note .notehead").first.click(force=True)
    expect(page.locator("#note .came").first).to_have_text("T, letter 1 of TAMSIN, in a new rhythm")
    page.evaluate("cavata.on('heard', (told) => { (window.told = window.told || []).push(told); })")
    page.evaluate("cavata.tell('here', {movement: 'first', bar: 4, id: null})")
    page.get_by_role("button", name="Play").click()
    comes(page, "(window.told || []).some((each) => each.bar === 5)")
    told = [each["bar"] for each in page.evaluate("window.told") if each["ids"]]
    assert told[0] == 4 and told == sorted(told) and {4, 5} <= set(told) <= {4, 5, 6}
    page.get_by_role("button", name="Stop").click()
    assert violations(page) == []
    assert wrong == []
    page.close()


def test_parts_are_heard_apart_without_a_server(folder: Path, chromium: Browser) -> None:
    """Each has a file of its own, and all go along with each other."""
    page = new_page(chromium, DESK)
    page.add_init_script("""
        window.files = [];
        const Plain = window.Audio;
        window.Audio = function (address) { const made = new Plain(address); window.files.push(made); return made; };
    """)
    page.goto((folder / "index.html").as_uri())
    page.get_by_label("Loop").check()
    page.get_by_label("to bar").fill("6")
    page.locator("#sound-parts summary").click()
    cello = page.get_by_role("group", name="Cello")
    playing = "window.files.filter((file) => !file.paused && file.currentTime > 0.5)"

    def are_heard(*wanted: list[Any]) -> None:
        heard = f"{playing}.map((file) => [file.src.replace(/.*sound-?/, ''), Math.round(file.volume * 10)])"
        comes(page, f"JSON.stringify({heard}) === JSON.stringify({json.dumps(wanted)})")

    page.get_by_role("button", name="Play").click()
    are_heard([".mp3", 10])
    cello.get_by_role("button", name="In front").click()
    are_heard(["violin.mp3", 3], ["cello.mp3", 10])
    cello.get_by_role("button", name="Alone").click()
    are_heard(["violin.mp3", 0], ["cello.mp3", 10])
    comes(page, f"Math.abs({playing}.reduce((gone, file) => file.currentTime - gone, 0)) < 0.05")
    cello.get_by_role("button", name="Alone").click()
    cello.get_by_role("button", name="In front").click()
    are_heard([".mp3", 10])
    page.get_by_role("button", name="Stop").click()
    are_heard()
    page.close()


def test_a_piece_with_mistakes_is_not_given_away(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "lamp.cavata").write_text(WRONG, "utf-8")
    assert main(["desk", str(tmp_path / "lamp.cavata"), "--to", str(tmp_path / "given")]) == 1
    assert "nothing is called `hale`" in capsys.readouterr().err
    assert not (tmp_path / "given").exists()
