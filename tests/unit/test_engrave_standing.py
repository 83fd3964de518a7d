"""What a build says of itself while it runs, and what it need not load."""

from __future__ import annotations

import json
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from fake_engravers import DRAWS, engrave_with

from cavata.cache import TIMES
from cavata.lilypond import standing
from cavata.lilypond.engraving import Phase
from cavata.lilypond.standing import StandingRuns

SCRIPT = """language 2
piece "Three Watches"
motif tune = notes(1/4 D5 E5 F5 G5)
forces
    fiddle = violin
movement first "First Watch"
    meter 4/4
    fiddle: tune x 4
"""
LINES = 1000


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = 0.0

    def monotonic(self) -> float:
        return self.now


@pytest.fixture
def clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A clock, and a cache of our own in which nothing is remembered."""
    made = Clock()
    monkeypatch.setattr(standing, "time", made)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    return made


def remember(*runs: tuple[int, float]) -> None:
    """Earlier runs: lines of text and seconds."""
    TIMES.keep(standing._RUNS, json.dumps(runs).encode())


def test_no_time_is_told_where_none_is_known(clock: Clock) -> None:
    said: list[str] = []
    run = StandingRuns(2, said.append).begins("\n" * LINES)
    run.hear(Phase.STARTING)
    clock.now = 30
    run.hear(Phase.SPACING)
    assert set(said) == {"engraving"}


def test_time_left_follows_earlier_runs(clock: Clock) -> None:
    """A line of text took 0.02 s, and starting 0.25 s: a thousand lines take 20.25 s; by arithmetic."""
    remember((500, 10.25), (2000, 40.25), (100, 2.25))
    said: list[str] = []
    one = StandingRuns(2, said.append)
    run = one.begins("\n" * LINES)
    run.hear(Phase.STARTING)
    assert said[-1] == "engraving, about 20 s left"
    clock.now = 12
    one.tell()
    assert said[-1] == "engraving, about 8 s left"
    clock.now = 19.5
    one.tell()
    assert said[-1] == "engraving"


def test_sheets_side_by_side_share_the_time(clock: Clock) -> None:
    """Four times 20.25 s, two at once: 40.5 s; with one done 30.4 s."""
    remember((LINES, 20.25))
    said: list[str] = []
    all_runs = StandingRuns(2, said.append)
    runs = [all_runs.begins("\n" * LINES) for _ in range(4)]
    all_runs.tell()
    assert said[-1] == "engraving: 0 of 4 sheets done, about 40 s left"
    all_runs.ends(runs[0], True)
    all_runs.tell()
    assert said[-1] == "engraving: 1 of 4 sheets done, about 30 s left"


def test_a_run_that_is_slower_than_thought_is_reckoned_anew(clock: Clock) -> None:
    """When spacing begins 0.3 of a run has passed; after 12 s that makes 40 s, halfway to which the reckoning goes."""
    remember((LINES, 20.25))
    said: list[str] = []
    run = StandingRuns(1, said.append).begins("\n" * LINES)
    run.hear(Phase.STARTING)
    clock.now = 12
    run.hear(Phase.SPACING)
    assert run.expected == pytest.approx((20.25 + 40) / 2)


def test_finished_runs_are_remembered(clock: Clock) -> None:
    one = StandingRuns(1, lambda said: None)
    for seconds in (4.0, 6.0):
        run = one.begins("\n" * LINES)
        run.hear(Phase.STARTING)
        clock.now += seconds
        one.ends(run, True)
    assert json.loads(TIMES.read(standing._RUNS) or b"") == [[LINES, 4.0], [LINES, 6.0]]


@pytest.mark.parametrize("damaged", ["", "[[1]]", '{"a": 1}', "[[0, 0]]", "\x00"])
def test_damaged_memory_tells_no_time(clock: Clock, damaged: str) -> None:
    TIMES.keep(standing._RUNS, damaged.encode())
    said: list[str] = []
    one = StandingRuns(1, said.append)
    one.begins("\n" * LINES)
    one.tell()
    assert said == ["engraving"]


def test_longer_times_are_told_more_coarsely() -> None:
    told = [standing._about(seconds) for seconds in (3.4, 12, 58, 92, 130, 1000)]
    assert told == ["about 3 s", "about 10 s", "about 60 s", "about 90 s", "about 2 min", "about 17 min"]
    assert all(one != other for one, other in pairwise(told))


def built(folder: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """A build in a process of its own, after which it says which of some modules are loaded."""
    program = (
        "import sys; from cavata.cli.main import main; status = main(sys.argv[1:]); "
        "print(sorted({'abjad', 'pypdf', 'music21', 'mido'} & set(sys.modules))); raise SystemExit(status)"
    )
    (folder / "watch.cavata").write_text(SCRIPT, "utf-8")
    return subprocess.run(
        [sys.executable, "-c", program, "build", str(folder / "watch.cavata"), "--to", "pdf", *more],
        capture_output=True, text=True, timeout=600, check=True,
    )  # fmt: skip


@pytest.mark.slow
def test_unchanged_build_loads_no_library_and_is_silent_off_a_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    engrave_with(DRAWS, tmp_path, monkeypatch)
    first, again = built(tmp_path), built(tmp_path)
    assert first.stdout.splitlines()[-1] == "['abjad']"
    assert again.stdout.splitlines()[-1] == "[]"
    assert first.stderr == again.stderr == ""


@pytest.mark.slow
def test_two_builds_at_once_do_not_disturb_each_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    engrave_with("sleep 0.2\n" + DRAWS, tmp_path, monkeypatch)
    script = tmp_path / "watch.cavata"
    script.write_text(SCRIPT, "utf-8")
    command = [sys.executable, "-m", "cavata.cli.main", "build", str(script), "--to", "pdf", "--out"]
    children = [
        subprocess.Popen([*command, str(tmp_path / f"out{number}")], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for number in range(2)
    ]
    said = [child.communicate(timeout=600)[1] for child in children]
    assert [child.returncode for child in children] == [0, 0], said
    assert len({(tmp_path / f"out{number}" / "watch.pdf").read_bytes() for number in range(2)}) == 1
    assert not list((tmp_path / "cache").rglob("*.part"))
