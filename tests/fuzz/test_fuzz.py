"""A short run of what `fuzz.py` does for hours, what it has found before, and the driver itself.

No source outside the project says what a compiler may do with a broken text; what is judged is that it ends soon, in
words, at a place that is there (`judge.py`).
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest
from foreign_scores import broken_score, whole
from fuzz import KINDS, Running, fault_of, smallest, text_of
from grammar_scripts import grammar_script
from judge import Fault, foreign_fault, judged, messages_fault, script_fault
from rounds import rounds

from cavata.diagnostics import Diagnostics, as_text
from cavata.pipeline import compile_script
from cavata.source import Source, Span

CASES = sorted((Path(__file__).parent / "cases").iterdir())
SHORT = {"bytes": rounds(20), "tokens": rounds(20), "changed": rounds(20), "grammar": rounds(4), "foreign": rounds(15)}


@pytest.mark.parametrize("kind", KINDS)
def test_a_short_run_finds_nothing(kind: str, tmp_path: Path) -> None:
    for number in range(SHORT[kind]):
        found, name, content = text_of(0, number, (kind,))
        fault = fault_of(found, name, content, number, tmp_path)
        assert fault is None, f"{number}: {fault.kind}\n{fault.told}\n{content!r}"


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=[case.stem for case in CASES])
def test_what_was_found_stays_mended(case: Path, tmp_path: Path) -> None:
    content = case.read_bytes()
    script = case.suffix == ".cavata"
    assert (script_fault(content, tmp_path) if script else foreign_fault(case.name, content, tmp_path)) is None


# ------------------------------------------------------------------ the driver


@pytest.mark.slow
def test_a_number_is_the_same_text_always() -> None:
    program = "from fuzz import text_of; print([text_of(3, n) for n in range(20)])"
    folder = Path(__file__).parent
    seed = "2" if os.environ.get("PYTHONHASHSEED") == "1" else "1"  # by which sets have another order than here
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": seed},
    )  # fmt: skip
    assert run.stdout.strip() == repr([text_of(3, number) for number in range(20)])


def test_a_broken_run_goes_on(tmp_path: Path) -> None:
    def run(state: Path, count: int) -> Running:
        running = Running(state, 5, ("bytes", "tokens"), 0)
        for _ in range(count):
            running.step(tmp_path)
        running.save()
        return running

    run(tmp_path / "broken.json", 7)
    run(tmp_path / "broken.json", 8)
    whole_run = run(tmp_path / "whole.json", 15)
    assert (tmp_path / "broken.json").read_text() == (tmp_path / "whole.json").read_text()
    assert (whole_run.number, sum(whole_run.tried.values())) == (15, 15)


def test_most_scripts_by_the_grammar_are_clean_and_broken_scores_are_broken() -> None:
    scripts = (grammar_script(Random(number)) for number in range(40))
    clean = sum(compile_script(Path("a.cavata"), text=script).score is not None for script in scripts)
    assert clean >= 13
    contents = dict(whole())
    assert sum(contents[name] != content for name, content in (broken_score(Random(n)) for n in range(40))) >= 30


def test_what_is_whole_is_read(tmp_path: Path) -> None:
    for name, content in whole():
        assert foreign_fault(name, content, tmp_path) is None
    assert sorted(Path(name).suffix for name, _ in whole()) == [".abc", ".krn", ".mid", ".musicxml", ".mxl"]


# ------------------------------------------------------------------ the judge sees what it is to see


def test_a_traceback_is_a_fault() -> None:
    def breaks() -> Fault | None:
        raise KeyError("x")

    fault = judged(breaks, "check")
    assert fault is not None
    assert fault.kind == "check: KeyError at test_fuzz.py:breaks"
    assert "raise KeyError" in fault.told


@pytest.mark.skipif(sys.platform == "win32", reason="the system has no clock of the processor that interrupts")
def test_what_does_not_end_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def never() -> Fault | None:
        while True:
            pass

    monkeypatch.setattr("judge.SOON", 0.2)
    fault = judged(never, "check")
    assert fault is not None
    assert fault.kind == "check: takes too long"


def test_a_place_outside_the_text_is_a_fault() -> None:
    source = Source("a.cavata", "language 2\n")
    for start, end, fine in ((0, 8, True), (0, 12, False), (3, 3, False), (9, 4, False)):
        bag = Diagnostics()
        bag.error("S101", Span(source, start, end), "wrong")
        assert (messages_fault(bag) is None) == fine, as_text(bag.ordered())


def test_an_output_that_breaks_is_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    script = b"language 2\nforces\n    flute = flute\nmovement first\n    flute: notes(1/1 D5)\n"
    assert script_fault(script, tmp_path) is None

    def breaks(*_: object) -> bytes:
        raise ZeroDivisionError

    monkeypatch.setattr("cavata.sound.midi.midi_of", breaks)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "empty"))  # else the file is there from before
    fault = script_fault(script, tmp_path)
    assert fault is not None
    assert fault.kind.startswith("midi: ZeroDivisionError")


def test_the_smallest_text_still_shows_the_fault() -> None:
    text = b"one\ntwo\nthree four\nfive\n" * 5
    assert smallest(text, lambda less: b"four" in less) == b"four"
