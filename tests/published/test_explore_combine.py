"""What explore counts, against published names and values.

Sources: the names of the Kammerkonzert of Berg, Schönberg and Webern, as its first page has them (Taruskin, Oxford
History of Western Music 4, ch. 6), of which Schönberg's holds the others' notes; correlations of music21's
`KrumhanslSchmuckler` (version 10.5.1), whose weights are those of Krumhansl and Kessler.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import note, stream
from music21.analysis.discrete import KrumhanslSchmuckler

from cavata.diagnostics.record import Diagnostics
from cavata.discover.explore import Explored
from cavata.discover.explore_space import Limits
from cavata.discover.explore_twelve import all_twelve
from cavata.discover.exploring import Asked, Exploring

NAMES = {"schoenberg": "ADSCHBEG", "webern": "AEBE", "berg": "ABABEG", "bach": "BACH", "haydn": "HADDG", "fae": "FAE"}
SCRIPT = "language 1\nuse german from ciphers\n" + "".join(
    f'name {word} = "{letters}" by german\n' for word, letters in NAMES.items()
)


def found(folder: Path, names: tuple[str, ...], limits: Limits, prefer: str = "") -> tuple[Explored, ...]:
    (folder / "names.cavata").write_text(SCRIPT)
    bag = Diagnostics()
    explored = Exploring(folder / "names.cavata", None, bag, lambda _: None).run(Asked(names, limits, prefer=prefer))
    assert not bag.has_errors
    return explored


def test_three_viennese_names_have_the_eight_notes_of_the_teachers(tmp_path: Path) -> None:
    names = ("schoenberg", "webern", "berg")
    twelve = all_twelve(found(tmp_path, names, Limits(0, 3, 5, 0)))
    assert (twelve.notes, twelve.inflections) == (8, 0)


@pytest.mark.parametrize("name", ["schoenberg", "bach", "haydn", "fae"])
def test_key_is_the_correlation_that_music21_finds(name: str, tmp_path: Path) -> None:
    best = found(tmp_path, (name,), Limits(0, 0, 9, 0))[0].ranked[0]
    line = stream.Stream([note.Note(str(p).replace("b", "-")) for p in best.line])
    key = KrumhanslSchmuckler().getSolution(line)
    assert best.values[best_column(tmp_path, name)] == pytest.approx(key.correlationCoefficient, abs=1e-9)


def best_column(folder: Path, name: str) -> int:
    return found(folder, (name,), Limits(0, 0, 9, 0))[0].criteria.index("key")
