"""Every script in `examples/` compiles without a warning about what it says, and the page about them speaks of each."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cavata.diagnostics.render import as_text
from cavata.notate.text import score_text
from cavata.pipeline import compile_script, written

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCRIPTS = sorted(EXAMPLES.rglob("*.cavata"))
TEXT = (EXAMPLES / "README.md").read_text("utf-8")
STEPS = sorted((EXAMPLES / "tutorial").glob("[0-9]*.cavata"))


def named(path: Path) -> str:
    return path.relative_to(EXAMPLES).as_posix()


@pytest.mark.parametrize("script", SCRIPTS, ids=named)
def test_example_compiles_and_can_be_written(script: Path) -> None:
    """Without a message; a file that only others use has no movement, and so no score to write."""
    compiled = compile_script(script, named(script))
    assert compiled.bag.ordered() == (), as_text(compiled.bag.ordered())
    assert compiled.score is not None
    if compiled.score.movements:
        assert score_text(written(compiled.score), letters=True)


@pytest.mark.parametrize("script", SCRIPTS, ids=named)
def test_page_speaks_of_every_example(script: Path) -> None:
    assert f"({named(script)})" in TEXT


def test_every_link_and_picture_of_the_page_is_there() -> None:
    linked = re.findall(r"\]\(([^)#]+)", TEXT)
    assert len(linked) > 25
    assert [link for link in linked if not (EXAMPLES / link).is_file()] == []


@pytest.mark.parametrize("script", STEPS, ids=named)
def test_step_of_the_tutorial_is_shown_word_for_word_with_its_page(script: Path) -> None:
    shown = f"```cavata\n{script.read_text('utf-8')}```\n"
    assert shown in TEXT
    after = TEXT[TEXT.index(shown) + len(shown) :]
    picture = re.search(r"!\[.*?\]\(pictures/(.*?)\)", after)
    assert picture is not None and picture[1] == f"tutorial-{script.name[:2]}.png"


def test_there_are_ten_steps() -> None:
    assert [path.name[:2] for path in STEPS] == [f"{number:02d}" for number in range(1, 11)]
