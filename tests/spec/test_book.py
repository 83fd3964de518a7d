"""The book holds together: its tables are those of its chapters, and every link of the project's pages leads on."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from book import AFTER, CONTENTS, GRAMMAR, LANGUAGE, LIST, anchor, chapter, every_word, one_screen, with_lead, with_made
from reference import completed, sections

from cavata.diagnostics import Severity
from cavata.pipeline import compile_script, compile_versions
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


@pytest.mark.parametrize("stem", ["wishes", *LANGUAGE, "every-word", "glossary"])
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


def test_the_first_page_is_short_and_has_both_commands() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert text.count("\n") <= 120
    assert re.findall(r"^```sh\n(.*)\n```$", text, re.MULTILINE) == [
        "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/cavata build examples/three-watches",
        "python3 tests/run.py",
    ]


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


# ---------------------------------------------------------------- what one wants to say

ON_A_LINE = "motif m = notes(1/4 D4 E4, 1/2 F4 G4) {}\n"
WHERE_IT_STANDS = {
    "A line": ON_A_LINE,
    "Marks at the notes": ON_A_LINE,
    "Several lines": "{}\n",
    "Who plays what, and where": "movement first\n    piano.right: tune x 4\n    {}\n",
    "Meter, key, tempo, form": "movement first\n    {}\n    violin: tune x 3\nmovement second\n    violin: tune\n",
    "A second version, as rows of `version NAME`":
        'piece "The Lamp"\nmovement first\n    tempo 1/4 at 60\n    cello: tune\n'
    "movement second\n    violin: tune\n    viola at bar 2: tune\nversion other\n    {}\n",
}  # fmt: skip
"""A script around what each table of `wishes.md` writes, after the one that stands before all fragments."""


@pytest.mark.parametrize("heading", WHERE_IT_STANDS)
def test_what_one_wants_is_written_so(heading: str) -> None:
    (section,) = (s for s in chapter("wishes").sections if s.title == heading)
    written = re.findall(r"^\| .*? \| `(.*?)` \| \[.*\|$", section.text, re.MULTILINE)
    assert len(written) > 5
    for said in written:
        script = completed(WHERE_IT_STANDS[heading].format(said), chapter("reading").examples[0].text)
        result = compile_script(ROOT / "wishes.cavata", text=script)
        compile_versions(result)
        assert [(said, d.code, d.message) for d in result.bag.ordered() if d.severity is Severity.ERROR] == []


def test_every_wish_stands_where_it_is_tried() -> None:
    assert {section.title for section in chapter("wishes").sections} == {*WHERE_IT_STANDS, "With a command"}


# ---------------------------------------------------------------- links


@cache
def _anchors(path: Path) -> set[str]:
    return {anchor(section.title) for section in sections(path.read_text("utf-8"))}


def _links(path: Path) -> list[str]:
    text = re.sub(r"^```.*?^```$", "", path.read_text("utf-8"), flags=re.MULTILINE | re.DOTALL)
    return re.findall(r"\]\(((?!https?:|mailto:)[^)\s]+)\)", re.sub(r"(?<!\[)`[^`\n]*`", "", text))


def test_every_link_leads_to_a_page_and_a_heading_that_are_there() -> None:
    lost = []
    for path in PAGES:
        for link in _links(path):
            target, _, heading = link.partition("#")
            found = (path.parent / target).resolve() if target else path
            if not found.exists() or (heading and heading not in _anchors(found)):
                lost.append((path.relative_to(ROOT).as_posix(), link))
    assert lost == []


@pytest.mark.parametrize("stem", LANGUAGE)
def test_no_two_headings_of_a_chapter_have_one_anchor(stem: str) -> None:
    found = [anchor(section.title) for section in chapter(stem).sections]
    assert len(found) == len(set(found))


def test_every_row_of_a_table_has_the_cells_of_its_head() -> None:
    """A stroke in a cell must be escaped, also in code, or it begins another cell."""
    for path in PAGES:
        text = re.sub(r"^```.*?^```$", "", path.read_text("utf-8"), flags=re.MULTILINE | re.DOTALL)
        for table in re.findall(r"(?:^\|.*\n)+", text, re.MULTILINE):
            cells = [len(re.findall(r"(?<!\\)\|", row)) for row in table.splitlines()]
            assert set(cells) == {cells[0]}, (path, table.splitlines()[0])


def test_pages_have_links() -> None:
    assert sum(len(_links(path)) for path in PAGES) > 500
