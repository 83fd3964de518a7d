"""Which tests are asked about a mutant: those that run its line, fast and telling ones first, within some seconds."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import defaultdict
from functools import lru_cache
from itertools import zip_longest
from pathlib import Path

from copies import surroundings
from coverage import CoverageData
from mutants import Mutant, Sources
from rooms import NEVER, TELLING, matching

HERE = Path(__file__).parent


def watch(copy: Path, package: str, folder: Path, at_once: int) -> None:
    """Run the whole suite once in a copy of the tree, and keep in a folder which test runs what."""
    folder.mkdir(parents=True, exist_ok=True)
    environment = surroundings(copy, package, copy.parent / "cache-watch")
    environment["PYTHONPATH"] += os.pathsep + str(HERE)
    environment |= {"MUTATION_SEEN": str(folder), "MUTATION_PACKAGE": str(copy / package)}
    left_out = [f"--ignore={copy / file}" for file in sorted(matching(copy / "tests", NEVER))]
    # With one process, xdist is asked for one all the same: what a test leaves running must not end the session.
    command = [sys.executable, "-m", "pytest", "-p", "seeing", "-p", "no:cacheprovider", "-n", str(at_once)]
    done = subprocess.run([*command, *left_out, "tests"], cwd=copy, env=environment)
    if done.returncode not in (0, 1):
        raise SystemExit("the suite could not be run on the unchanged tree")
    (folder / "root.txt").write_text(str(copy))


class Tests:
    """What the tests of a tree were seen to run."""

    def __init__(self, folder: Path, root: Path, budget: float) -> None:
        self.root, self.budget = root, budget
        self.then = Path((folder / "root.txt").read_text())
        failed = {line for file in folder.glob("failed.*") for line in file.read_text().splitlines()}
        self.seconds: dict[str, float] = {}
        for file in folder.glob("times.*.jsonl"):
            self.seconds.update(json.loads(line) for line in file.read_text().splitlines())
        self.seconds = {test: seconds for test, seconds in self.seconds.items() if test not in failed}
        self.data = []
        for file in sorted(folder.glob("lines.*")):
            self.data.append(CoverageData(str(file)))
            self.data[-1].read()

    @lru_cache(maxsize=4)  # noqa: B019 (one object lives as long as the run)
    def seen(self, file: str) -> dict[int, set[str]]:
        """The tests that run each line of a module."""
        found: dict[int, set[str]] = defaultdict(set)
        for data in self.data:
            for line, contexts in data.contexts_by_lineno(str(self.then / file)).items():
                found[line].update(test for test in contexts if test in self.seconds)
        return found

    def for_mutant(self, mutant: Mutant) -> list[str]:
        """The tests to run, in order; none if no test runs the mutant."""
        seen = self.seen(mutant.file)
        about = Sources((self.root / mutant.file).read_text("utf-8"))
        line = mutant.place.line
        tests = {test for near in about.reaches.get(line, range(line, line + 1)) for test in seen.get(near, ())}
        if not tests and mutant.function:
            tests = {test for n, name in about.functions.items() if name == mutant.function for test in seen.get(n, ())}
        if not tests:
            tests = {test for found in seen.values() for test in found}
        telling = matching(self.root / "tests", TELLING.get(mutant.room, ()))
        named = {file for file in telling if Path(mutant.file).stem in Path(file).stem}
        return self._within_budget(self._in_turn(tests, named, telling - named))

    def _in_turn(self, tests: set[str], named: set[str], telling: set[str]) -> list[str]:
        """One test of each file after the other, the fastest of each file first; files that are named after the module
        before other telling ones, and those before the rest.
        """
        files: dict[str, list[str]] = defaultdict(list)
        for test in sorted(tests, key=lambda test: (self.seconds[test], test)):
            files[test.partition("::")[0]].append(test)
        ordered: list[str] = []
        for chosen in (files.keys() & named, files.keys() & telling, files.keys() - named - telling):
            for turn in zip_longest(*(files[file] for file in sorted(chosen, key=lambda f: self.seconds[files[f][0]]))):
                ordered += filter(None, turn)
        return ordered

    def _within_budget(self, tests: list[str]) -> list[str]:
        """As many as the seconds allow, and one at least: a test that takes too long is passed over for the next."""
        chosen: list[str] = []
        spent = 0.0
        for test in tests:
            if spent + self.seconds[test] <= self.budget or not chosen:
                chosen.append(test)
                spent += self.seconds[test]
        return chosen

    def expected(self, tests: list[str]) -> float:
        """The seconds that these tests took when they were watched."""
        return sum(self.seconds[test] for test in tests)
