"""The pages of `spec/format`: scripts as they were written, and as they are laid out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cavata import resources
from cavata.syntax.format import format_script

TESTS = Path(__file__).parent.parent
_CASE = re.compile(r"^## (.*?)$(?:.*?)^```before\n(.*?)^```$\s*^```after\n(.*?)^```$", re.MULTILINE | re.DOTALL)

CASES = [
    pytest.param(case[2], case[3], id=f"{page.stem}: {case[1]}")
    for page in sorted((TESTS / "spec" / "format").glob("*.md"))
    for case in _CASE.finditer(page.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize(("before", "after"), CASES)
def test_script_is_laid_out_as_the_page_says(before: str, after: str) -> None:
    assert format_script(before).text == after
    assert format_script(after).text == after


def test_every_heading_of_the_pages_has_its_case() -> None:
    pages = [page.read_text(encoding="utf-8") for page in (TESTS / "spec" / "format").glob("*.md")]
    assert len(CASES) == sum(page.count("\n## ") for page in pages) > 20


@pytest.mark.parametrize("around", [("\ufeff", "\r\n"), ("", "\r"), ("", "")])
def test_byte_order_mark_and_line_ends_are_made_one(around: tuple[str, str]) -> None:
    assert format_script(around[0] + 'name a1="ADA" by french' + around[1]).text == 'name a1 = "ADA" by french\n'


def test_empty_scripts_stay_empty() -> None:
    assert format_script("").text == format_script("\n \n\n").text == ""


def test_more_mistakes_than_messages_are_shown_are_all_left_alone() -> None:
    broken = "motif   m =notes(1/4 H4)\n" * 150
    assert format_script(broken + "motif n=m\n").text == broken + "motif n = m\n"


SCRIPTS = sorted(
    [*resources.folder("stdlib").glob("*.cavata"), *(TESTS.parent / "examples").rglob("*.cavata")],
    key=lambda path: path.as_posix(),
)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_library_and_examples_are_laid_out(script: Path) -> None:
    """`cavata format FILE` mends it."""
    text = script.read_bytes().decode("utf-8")
    formatted = format_script(text)
    assert formatted.messages == ()
    assert formatted.text == text
