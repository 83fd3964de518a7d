"""The handbook: every link of its pages leads somewhere, nothing in them is fetched, and they can be read by anybody.

The pages are set once, a few of them; all are set by `cavata handbook`. Rules for accessibility are those of axe-core,
which the environment variable `AXE_CORE` names.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import sys
from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path
from posixpath import normpath

import pytest
from discovery_pages import holds_or_updates
from patience import WAIT

from cavata.cli.main import COMMANDS, main
from cavata.handbook import handbook
from cavata.handbook.finding import found, places
from cavata.handbook.gallery import pieces
from cavata.handbook.making import FOLDERS, make, readable
from cavata.handbook.pages import addresses, handbook_pages
from cavata.instruments.table import instruments
from cavata.resources import folder
from cavata.transforms.table import COMBINATIONS, LENGTHS, TRANSFORMS

LINK = re.compile(r"\]\(([^)\s]+)\)")
FENCE = re.compile(r"^```(?!\{).*?^```$", re.MULTILINE | re.DOTALL)
SET = ("index.md", "grammar/order.md", "grammar/messages/R.md", "examples/pieces/piano.md")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
AXE = Path(os.environ.get("AXE_CORE", ""))


@pytest.fixture(scope="module")
def told() -> dict[str, str]:
    return handbook_pages({name: folder(name) for name in FOLDERS}, frozenset(["piano"]))


def anchors(text: str) -> set[str]:
    """What leads to each heading of a page."""
    titles = re.findall(r"^#+ (.*)$", FENCE.sub("", text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.strip().lower()).replace(" ", "-") for title in titles}


def test_every_link_leads_to_a_page_a_file_or_a_message(told: dict[str, str]) -> None:
    known, lost = addresses(told), []
    for page, text in told.items():
        for link in LINK.findall(FENCE.sub("", text)):
            path, _, at = link.partition("#")
            target = normpath(f"{page}/../{path}") if path else page
            is_file = (folder(target.split("/", 1)[0]) / target.partition("/")[2]).is_file() if path else False
            is_here = not path and (at in known or at in anchors(text))
            if not (link.startswith("http") or (path and (target in told or is_file)) or is_here):
                lost.append((page, link))
    assert lost == []


def test_every_page_stands_in_the_contents_once(told: dict[str, str]) -> None:
    listed = re.findall(r"^[a-z]+/[\w/-]+$", told["index.md"], re.MULTILINE)
    assert sorted(listed) == sorted(path.removesuffix(".md") for path in told if path != "index.md")


def test_every_message_and_every_word_of_a_heading_has_its_place(told: dict[str, str]) -> None:
    known = addresses(told)
    assert {path.stem for path in folder("grammar").glob("messages/*.md")} <= set(known)
    assert known["retrograde"] == "grammar/order.html#word-retrograde"
    assert known["V203"] == "grammar/messages/V.html#v203"


def test_every_piece_of_the_gallery_has_its_page_picture_and_script(told: dict[str, str]) -> None:
    table = pieces((folder("examples") / "README.md").read_text("utf-8"))
    assert {Path(piece.script).stem for piece in table} >= {p.stem for p in folder("examples").glob("gallery/*.cavata")}
    for piece in table:
        page = told[f"examples/pieces/{piece.stem}.md"]
        assert (folder("examples") / piece.script).read_text("utf-8").rstrip("\n") in page
        assert (folder("examples") / piece.picture).is_file()
        assert ("<audio" in page) == (piece.stem == "piano")


# ------------------------------------------------------------------ as pages


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    for name in ("sphinx", "furo", "myst_parser"):
        pytest.importorskip(name)
    place = tmp_path_factory.mktemp("handbook") / "book"
    warned = make(place, {"piano": b"a sound"}, lambda _: None, only=SET.__contains__)
    expected = ("toctree contains reference to nonexisting", "cross-reference target not found")  # what is left out
    assert [line for line in warned.splitlines() if not any(word in line for word in expected)] == []
    return place


class Fetched(HTMLParser):
    """Whatever a page fetches while it is shown."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag in ("script", "img", "audio", "iframe") or (tag == "link" and given.get("rel") == "stylesheet"):
            self.addresses += filter(None, (given.get("src"), given.get("href") if tag == "link" else None))


@pytest.mark.slow
def test_a_page_fetches_only_what_lies_beside_it(book: Path) -> None:
    for page in book.rglob("*.html"):
        fetched = Fetched()
        fetched.feed(page.read_text("utf-8"))
        for address in fetched.addresses:
            assert (page.parent / address.partition("?")[0]).resolve().is_relative_to(book.resolve()), address
            assert (page.parent / address.partition("?")[0]).is_file(), address
    styles = "".join(style.read_text("utf-8") for style in book.rglob("*.css"))
    assert not re.search(r"url\(\s*['\"]?(?:https?:)?//", styles) and "@import" not in styles


@pytest.mark.slow
def test_words_can_be_searched_and_stand_in_the_index(book: Path) -> None:
    assert '"retrograd"' in (book / "searchindex.js").read_text("utf-8")  # as the English stemmer cuts it
    assert ">retrograde</a>" in (book / "genindex.html").read_text("utf-8")
    assert (book / "sounds" / "piano.mp3").read_bytes() == b"a sound"


@pytest.mark.slow
@pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium on the path")
@pytest.mark.skipif(not AXE.is_file(), reason="AXE_CORE names no axe.min.js")
def test_it_can_be_read_on_a_phone_and_by_a_screen_reader(book: Path) -> None:
    """Source: axe-core, all its rules."""
    sync_playwright = pytest.importorskip("playwright.sync_api").sync_playwright
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"], timeout=WAIT * 1000)
        page = browser.new_page(viewport={"width": 390, "height": 844})
        page.set_default_timeout(WAIT * 1000)
        for path in ("grammar/order.html", "examples/pieces/piano.html", "search.html?q=retrograde"):
            page.goto(f"{book.as_uri()}/{path}")
            if "search" in path:
                page.wait_for_selector("ul.search li")
            assert page.evaluate("document.documentElement.scrollWidth") <= 390, path
            page.add_script_tag(path=AXE)
            found = page.evaluate("axe.run().then(told => told.violations.map(each => [each.id, each.nodes[0].html]))")
            assert found == [], path
        browser.close()


@pytest.mark.slow
@pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium on the path")
def test_a_wide_table_can_be_read_on_a_phone() -> None:
    """Prose has some twenty letters in a line at least; the table is moved sideways. Source: common practice."""
    sync_playwright = pytest.importorskip("playwright.sync_api").sync_playwright
    style = Path(handbook.__file__).with_name("handbook.css").read_text("utf-8")
    cells = ("accidental", "A sharp, flat or natural sign. " * 3, "-> sharp 1, -> flat last", "Transforms of pitch")
    row = "".join(f"<td>{cell}</td>" for cell in cells)
    table = f'<div class="table-wrapper" style="overflow-x: auto"><table><tr>{row}</tr></table></div>'
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"], timeout=WAIT * 1000)
        page = browser.new_page(viewport={"width": 390, "height": 844})
        page.set_content(f"<style>{style}</style>{table}")
        assert page.evaluate("document.querySelectorAll('td')[1].clientWidth") > 190
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        browser.close()


def test_headings_of_the_theme_have_a_level() -> None:
    """Source: WAI-ARIA 1.2: a `heading` requires `aria-level`."""
    assert 'role="heading" aria-level=' in readable('<p class="caption" role="heading">')


# ------------------------------------------------------------------ the command


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, told: dict[str, str]) -> Path:
    """Pages that came with the installation; only their places are there."""
    (tmp_path / "places.json").write_text(json.dumps(addresses(told)))
    monkeypatch.setattr(handbook, "shipped", lambda: tmp_path)
    return tmp_path


def test_it_opens_at_a_word_and_at_a_message(
    made: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    assert main(["handbook", "retrograde"]) == 0 and main(["handbook", "v203", "--no-open"]) == 0
    assert opened == [f"{made.as_uri()}/grammar/order.html#word-retrograde"]
    assert capsys.readouterr().out.splitlines()[-1] == f"{made.as_uri()}/grammar/messages/V.html#v203"


def test_a_word_that_is_not_there(
    made: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(["handbook", "retrogade", "--no-open"]) == 2
    assert holds_or_updates("O981", capsys.readouterr().err, request.config.getoption("--update"))


def test_without_what_makes_the_pages(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path,
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    monkeypatch.setattr(handbook, "shipped", lambda: None)
    monkeypatch.setitem(sys.modules, "furo", None)
    assert main(["handbook", "--no-open"]) == 1
    assert holds_or_updates("O980", capsys.readouterr().err, request.config.getoption("--update"))


def test_pages_with_sound_stay_until_others_are_asked_for(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Pages are stood in for by their places and sounds; what is played is counted."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    played: list[str] = []

    def stand_in(folder: Path, sounds: Mapping[str, bytes], _: object) -> str:
        folder.mkdir(parents=True)
        (folder / "places.json").write_text("{}")
        if sounds:
            (folder / "sounds").mkdir()
        return ""

    def play() -> Mapping[str, bytes]:
        played.append("piano")
        return {"piano": b"a sound"}

    monkeypatch.setattr(handbook, "make", stand_in)
    say = played.append
    silent = handbook.made(say)
    assert not handbook.is_heard(silent) and handbook.made(say) == silent
    heard = handbook.made(say, play)
    assert handbook.is_heard(heard) and not silent.exists()
    assert handbook.made(say) == heard == handbook.made(say, play) and played == ["piano"]
    assert handbook.made(say, fresh=True) == silent and not heard.exists()


@pytest.mark.parametrize(
    ("word", "page"),
    [
        ("oboe", "stdlib/README"), ("Clarinet in Bb", "stdlib/README"), ("summons", "stdlib/README"),
        ("alberti", "stdlib/README"), ("lament", "stdlib/README"), ("palindrome", "stdlib/README"),
        ("french", "stdlib/README"), ("build", "grammar/commands/build"), ("pizzicato", "grammar/markings"),
        ("language-server", "grammar/commands/language-server"), ("da capo", "grammar/movements"),
        ("dal", "grammar/movements"), ("x", "grammar/score-lines"), ("doubles", "grammar/score-lines"),
        ("playable", "grammar/requirements"), ("manual_1", "grammar/markings"),
        ("anacrusis", "grammar/glossary"), ("v203", "grammar/messages/V"),
    ],
)  # fmt: skip
def test_words_of_the_library_commands_and_terms_are_found(word: str, page: str, made: Path) -> None:
    found = handbook.address_of(made, word)
    assert found is not None and found.startswith(f"{page}.html#"), found


def test_every_word_of_an_instrument_is_found(told: dict[str, str]) -> None:
    """Source: the table of instruments, by every word that a script may use."""
    assert {word.casefold() for word in instruments()} <= set(addresses(told))


def test_every_transform_combination_and_command_is_found(made: Path) -> None:
    """Source: the tables by which the compiler reads them, and the list of the command line."""
    words = {transform.word for group in TRANSFORMS.values() for transform in group} | {*COMBINATIONS, *LENGTHS}
    assert [word for word in (*sorted(words), *COMMANDS) if handbook.address_of(made, word) is None] == []


@pytest.mark.parametrize(
    ("question", "page"),
    [
        ("alternative ending", "movements.html#word-ending"), ("canon at the twelfth", "combinations.html#word-canon"),
        ("ground bass", "combinations.html#word-ostinato"), ("Krebs", "order.html#word-retrograde"),
        ("how do I change the time signature?", "settings.html#word-meter"), ("cues in parts", "piece.html#cues"),
        ("double stops", "score-lines.html#what-one-player-has-at-once"), ("18 minutes", "commands/fit.html"),
        ("ritardando", "settings.html#word-back-in-tempo"), ("piano reduction", "piece.html#a-rehearsal-copy"),
        ("compare two versions", "commands/compare.html"), ("silent letters", "ciphers.html#word-other-letters-silent"),
    ],
)  # fmt: skip
def test_a_question_in_the_words_of_a_composer_is_answered_first(
    question: str, page: str, told: dict[str, str]
) -> None:
    """Source: the words of composers from memory; where each is told, by reading."""
    assert found(told, question)[0][1] == f"grammar/{page}"


def test_a_question_opens_the_first_of_its_answers(
    made: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    assert main(["handbook", "cues", "in", "parts"]) == 0
    assert opened == [f"{made.as_uri()}/grammar/piece.html#cues"]
    assert capsys.readouterr().out.startswith(f"The piece and its pages: Cues\n    {opened[0]}\n")
    assert main(["handbook", "xyzzy", "--no-open"]) == 2


def test_every_answer_leads_to_a_heading_that_is_there(book: Path, told: dict[str, str]) -> None:
    """Of the chapters that are set here; the ids are those of the pages of Sphinx."""
    html = (book / "grammar/order.html").read_text("utf-8")
    addresses = [place.address for place in places({"grammar/order.md": told["grammar/order.md"]})]
    assert len(addresses) > 5
    assert [each for each in addresses if "#" in each and f'id="{each.partition("#")[2]}"' not in html] == []
