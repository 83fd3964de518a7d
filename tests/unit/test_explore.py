"""Explore: the same set in the same order as a plain loop, and pasted lines that are exactly the reading.

Source: a plain search written out again in `tests/bench/explore_plain.py`; the compiler itself for what is pasted.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from itertools import pairwise, product
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "bench"))
import explore_plain

from cavata.ciphers.cipher import Cipher
from cavata.cli.main import main
from cavata.explore.criteria import CRITERIA, Wishes
from cavata.explore.explore import Explored, explore, unbeaten
from cavata.explore.require import requirements
from cavata.explore.shown import pasted
from cavata.explore.space import NameStem, SearchLimits, reading_count, space_of, stems_of
from cavata.explore.twelve import all_twelve
from cavata.music.event import Motif
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, parse_pitch_class
from cavata.names.program import Identity, NameDefinition
from cavata.pipeline import compile_script

D_MINOR = Mode(parse_pitch_class("D"), "minor")
HOUSE = """\
language 2
use french from ciphers
cipher house = french
    B = Bb or B
    X = rest
    E = E or Eb or rest
name bea = "BEA" by house
name xabel = "XABXEX" by house, letter 3 as B
name tamsin = "TAMSIN" by french
name solo = "A" by french
motif hail = tamsin -> from F3
motif hush = notes(1/4 rest)
"""
WISHES = Wishes(D_MINOR, (52, 84), (60, 64, 62, 65), -2)


def stems(name: str, script: str = HOUSE) -> tuple[NameStem, ...]:
    compiled = compile_script(Path("house.cavata"), "house.cavata", script)
    assert not compiled.bag.has_errors, compiled.bag.ordered()
    assert compiled.program is not None and compiled.plan is not None
    row = next(
        d for d in compiled.program.definitions if isinstance(d, NameDefinition) and d.identity.name == name
    )
    cipher = compiled.plan.values[row.cipher]
    assert isinstance(cipher, Cipher)
    return stems_of(row.tree, cipher)


def explored(
    name: str, limits: SearchLimits, criteria: tuple[str, ...], require: str = "", **weights: float
) -> Explored:
    found = explore(stems(name), limits, criteria, WISHES, requirements([require], lambda _: D_MINOR), weights)
    assert isinstance(found, Explored)
    return found


# ------------------------------------------------------------------ the oracle


@pytest.mark.parametrize(
    ("name", "limits", "criteria"),
    [
        ("tamsin", SearchLimits(1, 3, 4, 1), ("few-inflections", "few-awkward-leaps", "key")),
        ("tamsin", SearchLimits(1, 3, 4, 1), tuple(CRITERIA)),
        ("bea", SearchLimits(2, 2, 4, 2), ("few-inflections", "singable", "few-awkward-leaps", "key", "dissonant")),
        ("xabel", SearchLimits(1, 4, 4, 0), ("in-mode", "near", "opening", "variety", "consonant")),
        ("solo", SearchLimits(1, 0, 9, 3), tuple(CRITERIA)),
    ],
)
def test_same_set_in_the_same_order_as_a_plain_loop(name: str, limits: SearchLimits, criteria: tuple[str, ...]) -> None:
    weights = {"singable": 3.0, "key": 0.5} if "singable" in criteria else {}
    found = explored(name, limits, criteria, "", **weights)
    plain = explore_plain.search(stems(name), limits, criteria, WISHES, lambda _: True, weights)
    assert [(c.line, c.values, c.score) for c in found.ranked] == plain
    assert found.readings == sum(reading_count(stem, limits) for stem in stems(name))


REQUIRED = {
    "first letter sharp": lambda line, count: line[0].alter == 1,
    "last letter natural": lambda line, count: line[-1].alter == 0,
    "letter 2 flat": lambda line, count: line[1].alter == -1,
    "note 3 sharp": lambda line, count: line[2].alter == 1,
    "begins on F#": lambda line, count: str(line[0].pitch_class) == "F#",
    "ends on Gb": lambda line, count: str(line[-1].pitch_class) == "Gb",
    "in D minor": lambda line, count: all(p.midi % 12 in (2, 4, 5, 7, 9, 10, 0) for p in line),
    "fits flute": lambda line, count: all(60 <= p.midi <= 98 for p in line),
    "no augmented second": lambda line, count: all(str(b - a) != "aug2" for a, b in pairwise(line)),
    "no awkward leap": lambda line, count: not any(explore_plain.is_awkward(a, b) for a, b in pairwise(line)),
    "no leap over P4": lambda line, count: all(abs(a.midi - b.midi) <= 5 for a, b in pairwise(line)),
    "at most 1 inflected": lambda line, count: count <= 1,
    "all different": lambda line, count: len({p.midi % 12 for p in line}) == len(line),
}


@pytest.mark.parametrize("text", REQUIRED)
def test_a_requirement_keeps_what_a_plain_loop_keeps(text: str) -> None:
    limits, criteria = SearchLimits(2, 3, 5, 0), ("few-inflections", "singable")
    found = explored("tamsin", limits, criteria, text)
    every = explore_plain.readings(stems("tamsin")[0], limits)
    allowed = [line for line, count in every if REQUIRED[text](line, count)]
    kept = [found.spaces[0].line(int(i)) for i in found.kept[0]]
    assert 0 < len(kept) < found.readings and kept == allowed


def test_nothing_beats_the_set_and_something_beats_the_rest() -> None:
    rows = np.array([[n * 7 % 5, n * 11 % 7, n * 3 % 4] for n in range(60)], np.float64)
    kept = set(unbeaten(list(rows.T)).tolist())
    for n, row in enumerate(rows.tolist()):
        assert (n in kept) == (not any(explore_plain.beats(other, row) for other in rows.tolist()))


def test_names_together_have_most_notes_for_fewest_inflections() -> None:
    limits = SearchLimits(2, 3, 4, 0)
    found = [explored(name, limits, ("few-inflections",)) for name in ("bea", "tamsin", "solo")]
    twelve = all_twelve(found)
    best = (0, 0)
    offered = []
    for name in ("bea", "tamsin", "solo"):
        plain = [reading for stem in stems(name) for reading in explore_plain.readings(stem, limits)]
        offered.append({(frozenset(p.midi % 12 for p in line), count) for line, count in plain})
    for first, second, third in product(*offered):
        best = max(best, (len(first[0] | second[0] | third[0]), -first[1] - second[1] - third[1]))
    assert (twelve.notes, -twelve.inflections) == best
    heard_notes = {p.midi % 12 for space, index in twelve.readings for p in space.line(index)}
    assert len(heard_notes) == twelve.notes
    assert sum(len(space.inflected(index)) for space, index in twelve.readings) == twelve.inflections


# ------------------------------------------------------------------ pasting


def heard(script: str, name: str) -> list[Pitch | None]:
    compiled = compile_script(Path("house.cavata"), "house.cavata", script)
    assert not compiled.bag.has_errors, [d.message for d in compiled.bag.ordered()]
    assert compiled.plan is not None
    value = compiled.plan.values[Identity(compiled.plan.main, name)]
    assert isinstance(value, Motif)
    return [event.heads[0].pitch if event.heads else None for event in value.events]


@pytest.mark.parametrize(
    ("name", "limits"),
    [("tamsin", SearchLimits(2, 3, 4, 1)), ("xabel", SearchLimits(1, 3, 4, 2)), ("solo", SearchLimits(1, 2, 3, 0))],
)
def test_what_is_pasted_compiles_to_exactly_the_reading(name: str, limits: SearchLimits) -> None:
    for stem in stems(name)[-2:]:
        space = space_of(stem, limits)
        script, chosen = HOUSE, list(range(0, len(space), 1 + len(space) // 12))
        for index in chosen:
            *row, motif = pasted(space, index, f"pasted{index}")
            script += motif + "\n"
            assert len(motif) < 200
            for text in row:
                script = re.sub(rf"(?m)^name {name} .*$", text, script)
        for index in chosen:
            notes = heard(script, f"pasted{index}")
            assert tuple(p for p in notes if p is not None) == space.line(index)
            rests = [0]
            for pitch in notes:
                if pitch is None:
                    rests[-1] += 1
                else:
                    rests.append(0)
            assert tuple(rests) == stem.rests


def test_choices_are_taken_by_letter_and_the_script_comes_first() -> None:
    rows = [stem.row for stem in stems("bea")]
    assert rows[0] == "" and 'name bea = "BEA" by house, letter 1 as B, letter 2 as Eb' in rows
    assert any("letter 2 as rest" in row for row in rows)
    assert stems("xabel")[0].pitches[1].alter == 0 and stems("xabel")[0].row == ""


# ------------------------------------------------------------------ the command


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.cavata").write_text(HOUSE)
    return tmp_path


def test_command_prints_lines_that_compile(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["explore", "house.cavata", "tamsin", "bea", "--near", "hail", "--mode", "D minor", "--for", "clarinet",
             "--sonority", "dissonant", "--opening", "bea", "--prefer", "singable 3, few-inflections 1",
             "--top", "3"]  # fmt: skip
    assert main(words) == 0
    text = capsys.readouterr().out
    assert main([*words, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["messages"] == [] and [one["name"] for one in document["names"]] == ["tamsin", "bea"]
    for one in document["names"]:
        for candidate in one["candidates"]:
            *row, motif = candidate["script"]
            assert motif in text
            script = re.sub(rf"(?m)^name {one['name']} .*$", row[0], HOUSE) if row else HOUSE
            notes = heard(f"{script}{motif}\n", motif.split()[1])
            assert [str(p) for p in notes if p is not None] == candidate["pitches"]
    scores = [c["score"] for c in document["names"][0]["candidates"]]
    assert scores == sorted(scores, reverse=True)


@pytest.mark.slow
def test_sheet_is_engraved(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from cavata.explore.shown import explore_script

    found = explored("tamsin", SearchLimits(1, 3, 4, 0), ("few-inflections", "singable"))
    script = explore_script([found], 3)
    compiled = compile_script(desk / "sheet.cavata", "sheet.cavata", script)
    assert compiled.score is not None, [d.message for d in compiled.bag.ordered()]
    line = found.ranked[0].line
    assert heard(script, "found0") == list(line)
    assert main(["explore", "house.cavata", "solo", "--top", "1", "--sheet", "solo.svg"]) == 0
    assert "solo" in capsys.readouterr().out and list(desk.glob("solo*.svg"))


def test_check_does_not_load_numpy(desk: Path) -> None:
    program = (
        "import sys\nfrom cavata.cli.main import main\nmain(['check', 'house.cavata'])\n"
        "assert 'numpy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True, cwd=desk, capture_output=True)
