"""Every script in `examples/` compiles without a warning about what it says, and the page about them speaks of each."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

import pytest
from pictured import FOLDER, OTHERS, compiled_for, digest, made_from
from pictured import SCRIPTS as SHOWN

from cavata.diagnostics import as_text
from cavata.notate.text import score_text
from cavata.pipeline import Compiled, compile_script, written

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCRIPTS = sorted(EXAMPLES.rglob("*.cavata"))
TEXT = (EXAMPLES / "README.md").read_text("utf-8")
STEPS = sorted((EXAMPLES / "tutorial").glob("[0-9]*.cavata"))


OLD = "the picture is old: python tests/spec/make_pictures.py"


def named(path: Path) -> str:
    return path.relative_to(EXAMPLES).as_posix()


@lru_cache
def compiled_example(script: Path) -> Compiled:
    return compile_script(script, named(script))


@pytest.mark.parametrize("script", SCRIPTS, ids=named)
def test_example_compiles_and_can_be_written(script: Path) -> None:
    """Without a message; a file that only others use has no movement, and so no score to write. Its picture is new."""
    compiled = compiled_example(script)
    assert compiled.bag.ordered() == (), as_text(compiled.bag.ordered())
    assert compiled.score is not None
    shown = [name for name, path in SHOWN.items() if path == script]
    if shown:
        assert made_from().get(shown[0]) == digest(shown[0], compiled), OLD
    elif compiled.score.movements:
        assert score_text(written(compiled.score), letters=True)


@pytest.mark.parametrize("name", OTHERS)
def test_picture_is_of_the_present_program(name: str) -> None:
    assert made_from().get(name) == digest(name, compiled_for(name)), OLD


def test_every_picture_is_made_and_shown() -> None:
    """None lies there that no script makes, and none is made that no page shows."""
    made = {*SHOWN, *OTHERS}
    assert {path.stem for path in FOLDER.glob("*.png")} == made == set(made_from())
    pages = [EXAMPLES.parent / "README.md", *EXAMPLES.glob("*.md"), *(EXAMPLES.parent / "grammar").rglob("*.md")]
    shown = re.findall(r"!\[[^]]*\]\(([^)]+)\)", "".join(page.read_text("utf-8") for page in pages))
    assert {Path(path).stem for path in shown} == made


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


def test_there_are_twelve_steps() -> None:
    assert [path.name[:2] for path in STEPS] == [f"{number:02d}" for number in range(1, 13)]


def test_the_long_night_is_long() -> None:
    """Two hundred bars; of some parts `test_parts_read_back.py` reads all of them, and more rounds all parts."""
    score = compiled_example(EXAMPLES / "the-long-night" / "the-long-night.cavata").score
    assert score is not None
    assert sum(len(movement.bars) for movement in score.movements if not movement.is_cadenza) >= 200
