"""Whole scripts with every copy that is handed out of them; `pytest --update` writes it anew.

Each folder under `copies` holds `script.cavata` and beside it, for the copies of KEPT: the written bars and the ledger,
the LilyPond text, and of the full score and of parts the MusicXML of each movement.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.diagnostics import as_text
from cavata.edition.copies import Wanted, copies
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.ledger import ledger_text, page_ledger
from cavata.notate.text import score_text
from cavata.pipeline import compile_script, written
from cavata.score.score import CopyKind

KEPT = {
    "desk": ("score", "short", "rehearsal-solo", "flute", "horn1", "drums", "solo"),
    "choir": ("score", "short", "high", "tenor", "organ"),
}
"""Those that show most; the rest are made and read like them."""
CASES = sorted(path.parent for path in (Path(__file__).parent / "copies").glob("*/script.cavata"))


def made(case: Path) -> Iterator[tuple[str, str]]:
    """The files of a case, by name."""
    compiled = compile_script(case / "script.cavata", "script.cavata")
    yield "messages.txt", as_text(compiled.bag.ordered())
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    soloists = tuple(part.name for part in compiled.score.parts if part.soloist)
    for copy in copies(compiled.score, Wanted(parts=None, short=True, rehearsal=soloists), compiled.bag):
        name = copy.suffix.removeprefix("-") or "score"
        if name not in KEPT[case.name]:
            continue
        page = written(copy.score)
        yield f"{name}.txt", score_text(page) + "\n" + ledger_text(page_ledger(copy.score, page), page) + "\n"
        yield f"{name}.ly", lilypond_text(page)
        for movement in page.movements if copy.score.header.kind in (CopyKind.SCORE, CopyKind.PART) else ():
            yield f"{name}-{movement.name}.musicxml", musicxml_bytes(page, movement.name).decode()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_copies_are_what_they_were(case: Path, request: pytest.FixtureRequest) -> None:
    files = dict(made(case))
    if request.config.getoption("--update"):
        for path in case.iterdir():
            if path.suffix != ".cavata":
                path.unlink()
        for name, text in files.items():
            (case / name).write_bytes(text.encode())
    kept = {path.name: path.read_bytes().decode() for path in case.iterdir() if path.suffix != ".cavata"}
    assert set(kept) == set(files)
    for name, text in files.items():
        assert text.splitlines() == kept[name].splitlines(), name
        assert text == kept[name], name


def test_there_are_cases() -> None:
    assert len(CASES) >= 2
