"""The figures of a piece. Source of every value: by counting, from the script beside it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.tell.stats import Stats, stats, stats_text

HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
motif tune  = notes(1/4 D4 E4, 1/2 F4)
forces
    violin = violin
    viola  = viola
    drum   = snare drum
"""


def counted(text: str, tmp_path: Path) -> Stats:
    path = tmp_path / "piece.cavata"
    path.write_text(HEAD + text, "utf-8")
    compiled = compile_script(path)
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    return stats(compiled.score)


def test_notes_bars_and_shares(tmp_path: Path) -> None:
    """6 notes of the name, 3 of the tune, and a chord of 5, since two letters meet in F: 11 of 14 from the name."""
    found = counted(
        "movement first\n    tempo 1/4 at 60\n    section one 3 bars\n        violin: tamsin\n        viola: tune\n"
        "        violin at bar 3: tamsin -> as chord\n", tmp_path,
    )  # fmt: skip
    assert (found.bars, found.movements, found.sections, found.free_stretches) == (3, 1, 1, 0)
    assert (found.notes, found.from_names, found.of_names) == (14, 11, (("tamsin", 11),))
    assert found.busiest is not None and found.busiest.label == "Violin"
    assert "14, of which 79 % come from names" in stats_text(found)


def test_pick_up_and_free_time_are_no_bars(tmp_path: Path) -> None:
    found = counted(
        "movement first\n    pickup 1/4\n    violin at bar 1: tune\ncadenza alone\n    violin: tamsin\n", tmp_path
    )
    assert (found.bars, found.free_stretches) == (1, 1)


def test_tied_note_counts_once_and_a_repeat_as_written(tmp_path: Path) -> None:
    found = counted(
        "movement first\n    section one 2 bars\n        repeated 3 times\n        violin: notes(2/1 D4)\n"
        "        violin bars 2 to 2: marked f\n", tmp_path,
    )  # fmt: skip
    assert found.notes == 1 and found.seconds == 24


def test_longest_rest_and_time_of_sounding(tmp_path: Path) -> None:
    """At 60 the violin rests 2 s, plays 4 s, rests 10 s; the viola rests all 16 s."""
    found = counted(
        "movement first\n    tempo 1/4 at 60\n    section one 4 bars\n        violin at bar 1 beat 3: tune\n", tmp_path
    )
    violin, viola = found.parts[:2]
    assert violin.longest_rest is not None and viola.longest_rest is not None
    assert (violin.longest_rest.seconds, violin.longest_rest.begins.bar, violin.longest_rest.begins.beat) == (
        10,
        2,
        "3",
    )
    assert violin.sounding == 4 and viola.sounding == 0 and viola.longest_rest.whole_movement


def test_range_beside_the_instruments(tmp_path: Path) -> None:
    """G3 is a violin's lowest note (common practice), so F#3 lies beyond it."""
    found = counted("movement first\n    violin: notes(1/4 F#3 D5)\n    drum: (1/4)\n", tmp_path)
    violin, _, drum = found.parts
    assert (str(violin.lowest), str(violin.highest), violin.outside) == ("F#3", "D5", "beyond the range")
    assert drum.lowest is None and drum.outside == ""


def test_piece_without_names_has_figures_all_the_same(tmp_path: Path) -> None:
    found = counted("movement first\n    viola: tune\n", tmp_path)
    assert found.from_names == 0 and "0 % come from names" in stats_text(found)


@pytest.mark.parametrize("name", ["three-watches", "the-long-night", "monograms"])
def test_command_fills_one_screen(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stats", str(folder("examples") / name)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) <= 40 and max(map(len, lines)) <= 132


def test_document_has_the_same_figures(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stats", str(folder("examples") / "three-watches"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["notes"] == sum(part["notes"] for part in told["parts"])
    assert told["notes_from_names"] <= told["notes"] and len(told["parts"]) == 7
