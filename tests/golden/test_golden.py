"""Whole scripts with everything that the passes make of them; `pytest --update` writes it anew.

Each folder holds `script.cavata` and beside it the score, the written bars, the LilyPond text, the
MusicXML of every movement and the messages. The LilyPond text must not depend on the version of Abjad:
the suite runs with two of them against the same files.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.diagnostics import as_text
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.text import score_text as notation_text
from cavata.pipeline import compile_script, written
from cavata.score.score import score_text

FOLDER = Path(__file__).parent
CASES = sorted(path.parent for path in FOLDER.glob("*/script.cavata"))


def made(case: Path) -> Iterator[tuple[str, bytes]]:
    """The files of a case, by name."""
    compiled = compile_script(case / "script.cavata", "script.cavata")
    yield "messages.txt", as_text(compiled.bag.ordered()).encode()
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    page = written(compiled.score)
    yield "score.txt", score_text(compiled.score).encode()
    yield "notation.txt", notation_text(page, letters=True).encode()
    yield "out.ly", lilypond_text(page).encode()
    for movement in page.movements:
        yield f"{movement.name}.musicxml", musicxml_bytes(page, movement.name)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_script_gives_what_it_gave(case: Path, request: pytest.FixtureRequest) -> None:
    files = dict(made(case))
    if request.config.getoption("--update"):
        for path in case.iterdir():
            if path.is_file() and path.suffix != ".cavata":
                path.unlink()
        for name, data in files.items():
            (case / name).write_bytes(data)
    kept = {path.name: path.read_bytes() for path in case.iterdir() if path.is_file() and path.suffix != ".cavata"}
    assert set(kept) == set(files)
    for name, data in files.items():
        assert data.decode().splitlines() == kept[name].decode().splitlines(), name
        assert data == kept[name], name


def test_there_are_cases() -> None:
    assert len(CASES) >= 6
