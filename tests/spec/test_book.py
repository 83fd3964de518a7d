"""The book holds together: its tables are those of its chapters, and every link of the project's pages leads on."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from book import AFTER, CONTENTS, GRAMMAR, LANGUAGE, LIST, anchor, chapter, every_word, one_screen, with_lead, with_made
from reference import sections

from cavata.pipeline import compile_script
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

ROOT = GRAMMAR.parent
OTHERS = ("README.md", "DEVELOPERS.md", "stdlib/README.md", "examples/README.md", "tests/spec/README.md")
PAGES = [*sorted(GRAMMAR.rglob("*.md")), *(ROOT / name for name in OTHERS if (ROOT / name).is_file())]


def test_tables_of_the_book_are_those_of_its_chapters(request: pytest.FixtureRequest) -> None:
    for path, made in ((CONTENTS, one_screen()), (LIST, every_word())):
        text = path.read_text("utf-8")
        if request.config.getoption("--update"):
            path.write_text(with_made(text, made), "utf-8", newline="\n")
        assert path.read_text("utf-8") == with_made(text, made), f"{path.name} is old: pytest --update"


@pytest.mark.parametrize("stem", [*LANGUAGE, "every-word", "glossary"])
def test_chapter_leads_back_and_on(stem: str, request: pytest.FixtureRequest) -> None:
    made = with_lead(chapter(stem))
    if request.config.getoption("--update"):
        (GRAMMAR / f"{stem}.md").write_text(made, "utf-8", newline="\n")
    assert (GRAMMAR / f"{stem}.md").read_text("utf-8") == made


def test_every_page_is_a_chapter_and_stands_in_the_contents() -> None:
    stems = {path.stem for path in GRAMMAR.glob("*.md")} - {"README"}
    assert stems == {stem for stem in (*LANGUAGE, *AFTER) if "/" not in stem}
    text = CONTENTS.read_text("utf-8").partition("## All pages")[2]
    assert [stem for stem in (*LANGUAGE, *AFTER) if f"({stem}.md" not in text] == []


def test_every_transform_and_combination_stands_on_the_one_screen() -> None:
    screen = one_screen()
    patterns = [t.pattern for group in TRANSFORMS.values() for t in group] + [c.pattern for c in COMBINATIONS.values()]
    assert [pattern for pattern in patterns if f"#{anchor(pattern)})" not in screen] == []


# ---------------------------------------------------------------- the glossary


def _terms() -> list[tuple[str, str]]:
    rows = re.findall(r"^\| ([^|]+?) \| .*? \| (.*?) \| \[.*\|$", chapter("glossary").text, re.MULTILINE)
    return [row for row in rows if row[0] != "term"]


def test_glossary_goes_by_the_alphabet_and_names_nothing_twice() -> None:
    terms = [term.lower() for term, _ in _terms()]
    assert terms == sorted(set(terms))
    assert len(terms) > 80


def test_what_the_glossary_writes_after_an_arrow_compiles() -> None:
    """All of it in one script, each on one line, which has a chord and a note that comes again."""
    shown = [part for _, written in _terms() for part in re.findall(r"`(-> [^`]*)`", written) if "GRACES" not in part]
    assert len(shown) > 40
    rows = "".join(f"motif shown{n} = line {part}\n" for n, part in enumerate(shown))
    line = "motif line = notes(1/4 D4 D4 E4 chord(D4 F4) A4 C5)\nrhythm summons = (1/4. 1/8)\n"
    result = compile_script(ROOT / "glossary.cavata", text=f"language 2\n{line}{rows}")
    assert [(d.code, d.message) for d in result.bag.ordered() if d.code != "N301"] == []


# ---------------------------------------------------------------- links


def _anchors(path: Path) -> set[str]:
    return {anchor(section.title) for section in sections(path.read_text("utf-8"))}


def _links(path: Path) -> list[str]:
    text = re.sub(r"^```.*?^```$", "", path.read_text("utf-8"), flags=re.MULTILINE | re.DOTALL)
    return re.findall(r"\]\(((?!https?:|mailto:)[^)\s]+)\)", re.sub(r"(?<!\[)`[^`\n]*`", "", text))


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_link_leads_to_a_page_and_a_heading_that_are_there(path: Path) -> None:
    for link in _links(path):
        target, _, heading = link.partition("#")
        found = (path.parent / target).resolve() if target else path
        assert found.exists(), link
        if heading:
            assert heading in _anchors(found), link


@pytest.mark.parametrize("stem", LANGUAGE)
def test_no_two_headings_of_a_chapter_have_one_anchor(stem: str) -> None:
    found = [anchor(section.title) for section in chapter(stem).sections]
    assert len(found) == len(set(found))


def test_pages_have_links() -> None:
    assert sum(len(_links(path)) for path in PAGES) > 500
