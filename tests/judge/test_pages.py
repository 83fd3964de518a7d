"""The judge finds nothing on the pages of the examples and of pieces made by chance: scores and parts.

A few of them are judged always; `CAVATA_JUDGED=200` has every copy of all examples judged, and of two hundred pieces
made by chance. What the judge may excuse is said once, in `judging.py`. Source of what is a fault: common practice.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from ink import find_lilypond, pages_of_all
from judging import EXCUSES, faults

# The pieces by chance stand beside the laws.
sys.path.append(str(Path(__file__).resolve().parent.parent / "properties"))

from random_pieces import compiled_piece

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.engraving import Failure
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import CopyKind

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(isinstance(find_lilypond(), Failure), reason="LilyPond is not installed"),
]
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
ALL = int(os.environ.get("CAVATA_JUDGED", "0"))
"""So many pieces made by chance, and all examples; 0 for a few copies."""
SCRIPTS = sorted(path for path in EXAMPLES.rglob("*.cavata") if path.name != "house.cavata")
FEW = (
    ("gallery/concerto.cavata", ("", "-viola")), ("three-watches/three-watches.cavata", ("-bassoon",)),
)  # fmt: skip


def told(compiled: Compiled, wanted: tuple[str, ...] = ()) -> Iterator[str]:
    """Every fault of the copies of a piece whose names end so; of all of them where none is named."""
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    parts = tuple(suffix[1:] for suffix in wanted if suffix) if wanted else None
    asked = list(copies(compiled.score, WantedCopies("" in wanted or not wanted, parts), Diagnostics()))
    drawn = pages_of_all(written(copy.score) for copy in asked)
    for copy, (page, pages) in zip(asked, drawn, strict=True):
        for fault in faults(pages, page.header.kind is CopyKind.PART):
            yield f"{copy.suffix or 'score'}: {fault}"


@pytest.mark.parametrize(("script", "wanted"), [] if ALL else FEW)
def test_nothing_is_found_in_a_few_copies(script: str, wanted: tuple[str, ...]) -> None:
    assert not list(told(compile_script(EXAMPLES / script), wanted))


@pytest.mark.parametrize("script", SCRIPTS if ALL else [], ids=lambda path: path.stem)
def test_nothing_is_found_in_an_example(script: Path) -> None:
    compiled = compile_script(script)
    assert compiled.score is None or not compiled.score.movements or not list(told(compiled))


@pytest.mark.parametrize("number", range(ALL or 1))
def test_nothing_is_found_in_a_piece_made_by_chance(number: int) -> None:
    assert not list(told(compiled_piece(number), () if ALL else ("-flute", "-violin")))


def test_few_kinds_are_excused() -> None:
    assert len(EXCUSES) <= 10
