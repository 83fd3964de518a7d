"""Whole scripts with every copy that is handed out of them; `pytest --update` writes it anew.

Each folder under `copies` holds `script.cavata` and beside it, for the copies of KEPT: the written bars and the ledger,
the LilyPond text, and of the full score and of parts the MusicXML of each movement.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.ledger import ledger_text, page_ledger
from cavata.notate.text import score_text
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import CopyKind

KEPT = {
    "desk": ("score", "short", "rehearsal-solo", "flute", "horn1", "drums", "solo"),
    "choir": ("score", "short", "high", "tenor", "organ"),
}
"""Those that show most; the rest are made and read like them."""
FOLDER = Path(__file__).parent / "copies"


@cache
def compiled(case: str) -> Compiled:
    """A case compiled."""
    return compile_script(FOLDER / case / "script.cavata", "script.cavata")


def made(case: str, name: str) -> Iterator[tuple[str, str]]:
    """The files of a copy, by name."""
    score = compiled(case).score
    assert score is not None and not compiled(case).bag.ordered(), as_text(compiled(case).bag.ordered())
    kind, _, whose = name.partition("-")
    wanted = {
        "score": WantedCopies(), "short": WantedCopies(score=False, short=True),
        "rehearsal": WantedCopies(score=False, rehearsal=((whose,),)),
    }.get(kind, WantedCopies(score=False, parts=(name,)))  # fmt: skip
    (copy,) = copies(score, wanted, Diagnostics())
    page = written(copy.score)
    yield f"{name}.txt", score_text(page) + "\n" + ledger_text(page_ledger(copy.score, page), page) + "\n"
    yield f"{name}.ly", lilypond_text(page)
    for movement in page.movements if copy.score.header.kind in (CopyKind.SCORE, CopyKind.PART) else ():
        yield f"{name}-{movement.name}.musicxml", musicxml_bytes(page, movement.name).decode()


@pytest.mark.parametrize(("case", "name"), [(case, name) for case, names in KEPT.items() for name in names])
def test_copy_is_what_it_was(case: str, name: str, request: pytest.FixtureRequest) -> None:
    files = dict(made(case, name))
    folder = FOLDER / case
    kept = {path for path in folder.iterdir() if re.fullmatch(rf"{name}(\.txt|\.ly|-\w+\.musicxml)", path.name)}
    if request.config.getoption("--update"):
        for path in kept:
            path.unlink()
        for file, text in files.items():
            (folder / file).write_bytes(text.encode())
        kept = {folder / file for file in files}
    assert {path.name for path in kept} == set(files)
    for file, text in files.items():
        stored = (folder / file).read_bytes().decode()
        assert text.splitlines() == stored.splitlines(), file
        assert text == stored, file


def test_every_case_is_asked() -> None:
    assert {path.parent.name for path in FOLDER.glob("*/script.cavata")} == set(KEPT)
