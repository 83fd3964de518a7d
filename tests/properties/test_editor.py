"""What an editor is told at any place of any script: nothing fails, and the answers agree with each other.

`CAVATA_POSITIONS=1` tries every place of every example, whole and cut off there; otherwise some are tried.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics
from cavata.editor import completion, hints, mending, names, structure
from cavata.editor.hover import hover
from cavata.editor.page import ScriptPage
from cavata.editor.tokens import read, script_rows
from cavata.names.loader import load
from cavata.pipeline import Compiled, compile_script
from cavata.source import Source

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
EVERY = "CAVATA_POSITIONS" in os.environ
SCRIPTS = sorted(EXAMPLES.rglob("*.cavata"))
STEP = 1 if EVERY else 97
SOME = SCRIPTS if EVERY else [path for path in SCRIPTS if path.stem in ("anthem", "11-the-second-day", "monograms")]


def page_of(path: Path, text: str | None = None) -> ScriptPage:
    text = path.read_text("utf-8") if text is None else text
    return ScriptPage(Source(path.name, text), str(path), compile_script(path, text=text))


def asked(page: ScriptPage, offset: int) -> None:
    """Everything that can be asked at a place, each answer looked at."""
    source = page.source
    told = hover(page, offset)
    assert told is None or (told[0].strip() and told[1].start <= offset <= told[1].end)
    offers = completion.offers(page, offset)
    assert len({offer.word for offer in offers}) == len(offers)
    for written in completion.written(page, offset):
        assert written.now is None or 0 <= written.now < max(1, len(written.parts))
    grown = structure.selections(page, offset)
    assert all(each.start <= offset <= each.end for each in grown)
    for inner, outer in zip(grown, grown[1:], strict=False):
        assert outer.start <= inner.start and inner.end <= outer.end and inner != outer
    defined = names.definition(page, offset)
    span = names.renamable(page, offset)
    # Where a script is cut off, what was compiled before may define names beyond its end.
    if span is not None and (defined is None or defined[0] != page.key or defined[1].end <= len(source.text)):
        assert defined is not None
        places = names.uses(page, offset)
        # The name's own definition is among its uses, and each use leads to the same definition.
        assert (defined[0], defined[1].start) in [(key, each.start) for key, each in places]
        here = [each for key, each in places if key == page.key]
        assert all(source.text[each.start : each.end] == each.text for each in here)
        assert {names.definition(page, each.start) for each in here} == {defined}


@pytest.mark.slow
@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_every_place_is_answered(path: Path) -> None:
    page = page_of(path)
    for offset in range(0, len(page.source.text) + 1, STEP):
        asked(page, offset)


@pytest.mark.slow
@pytest.mark.parametrize("path", SOME[:1] if not EVERY else SOME, ids=lambda path: path.stem)
def test_a_script_that_breaks_off_anywhere_is_answered_there(path: Path) -> None:
    text = path.read_text("utf-8")
    loaded = load(path, path.name, Diagnostics(), text)
    assert loaded is not None
    for offset in range(0, len(text) + 1, 3 if EVERY else 211):
        page = ScriptPage(Source(path.name, text[:offset]), str(path), Compiled(Diagnostics(), loaded))
        asked(page, offset)
    page = page_of(path, text[: len(text) // 2])
    asked(page, len(text) // 2)


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_every_word_of_an_example_has_its_class(path: Path) -> None:
    """The classes lie in order without touching, and what lies between them is blank."""
    page = page_of(path) if EVERY else ScriptPage(
        Source(path.name, path.read_text("utf-8")), str(path),
        Compiled(Diagnostics(), load(path, path.name, Diagnostics())),
    )  # fmt: skip
    text, last = page.source.text, 0
    for start, end, kind in structure.classes(page):
        assert last <= start < end, text[start:end]
        between = text[last:start].strip()
        assert not between or between == "(", (between, kind)
        assert "\n" not in text[start:end]
        last = end
    assert not text[last:].strip().strip("(")


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_every_statement_of_an_example_is_read_to_its_end(path: Path) -> None:
    for row in script_rows(Source(path.name, path.read_text("utf-8"))):
        assert "$END" in read(row.span, row.start).follows, row.span.text


def test_each_word_of_an_example_may_stand_where_it_stands() -> None:
    """Completion, asked before each word that it could have written, offers that word."""
    page = page_of(EXAMPLES / "gallery" / "string_quartet.cavata")
    missing = []
    for row in page.rows:
        tokens = page.read(row).tokens
        for number, token in enumerate(tokens):
            meaning = page.meaning(row, tokens, number)
            is_new = meaning is not None and meaning.declared is not None and meaning.declared.start == token.start
            if token.name.isalpha() and token.kind not in ("PITCH", "PITCH_CLASS") and not is_new:
                offered = {offer.word.rstrip("(") for offer in completion.offers(page, token.start)}
                if token.name not in offered:
                    missing.append((token.name, row.span.text[:40]))
    assert missing == []


def test_hints_tell_what_is_there() -> None:
    page = page_of(EXAMPLES / "gallery" / "string_quartet.cavata")
    told = {page.source.text[:at].rpartition(" ")[2]: text for at, text in hints.hints(page)}
    # Shostakovich's and Bach's monograms, as the German letters spell them.
    assert (told["dsch"], told["bach"]) == (": D Eb C B", ": Bb A C B")
    assert (told["exposition"], told["signatures"], told["close"]) == (
        " in bars 1 to 18", " in bars 19 to 28", " in bars 29 to 32"
    )  # fmt: skip


def test_a_cure_is_an_edit_only_where_it_replaces_what_is_marked() -> None:
    page = page_of(EXAMPLES / "tutorial" / "01-a-name.cavata", "language 2\nuse frensh from ciphers\nmotif a = b\n")
    found = [(message.code, mending.instead(message)) for message in page.compiled.bag.ordered()]
    assert ["french"] in [[text for _, text in each] for code, each in found if code == "N203"]
    assert {code for code, each in found if not each} == {code for code, _ in found} - {"N203"} != set()
