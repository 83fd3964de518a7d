"""Change the compiler a little, hundreds of times, and see whether the tests notice.

    pip install cosmic-ray coverage
    python tests/mutation/run.py --results mutants.jsonl --mutants 600 --at-once 2

Rooms (folders of the compiler) are given as arguments; without any, those of `rooms.DEFAULT` are taken. The same
seed draws the same mutants from the same tree, of each function in proportion to its lines.

Every mutant lives in a private copy of the checkout. It is asked of the tests that run its line, the fast and the
telling ones first, until one fails, for some fifteen seconds (`--seconds`). Which test runs which line is seen once,
by running the whole suite with coverage; that map is kept beside the results (`.seen`) for as long as neither the
compiler nor the tests change. A mutant with which the tests take several times the processor's time that they take
without counts as noticed, and is counted apart.

Results are kept one by one, so a run that is broken off goes on where it stopped. `--report` only tells what is
there. A survivor that means the same as the source goes to `equivalent.toml`, with its proof.
"""

from __future__ import annotations

import argparse
import math
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from queue import SimpleQueue

from asked import HERE, Tests, watch
from copies import Changed, copied, digest, files_of, surroundings
from mutants import Mutant, drawn
from results import Result, keep, kept, report
from rooms import DEFAULT, sources

ROOT = HERE.parent.parent
PACKAGE = "compiler/cavata"
_FAILED = re.compile(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", re.MULTILINE)


def asked_of(copy: Path, tests: list[str], limit: float, *more: str) -> tuple[int | None, str]:
    """Pytest's exit status for some tests of a copy of the tree, and what it said; no status if it took too long: more
    than so many seconds of the processor.
    """
    cache = copy.parent / f"{copy.name}-cache"
    environment = surroundings(copy, PACKAGE, cache)
    environment["PYTHONPATH"] += os.pathsep + str(HERE)
    listed = copy.parent / f"{copy.name}-tests.txt"
    listed.write_text("\n".join(tests))
    command = [sys.executable, "-m", "pytest", "-p", "plain", "-p", "no:cacheprovider", "-n", "0", "--tb=no", *more]
    # What a mutant prints without end must not fill the memory, nor what it starts outlive it.
    with tempfile.TemporaryFile() as said:
        child = subprocess.Popen(
            [*command, "-rfE", f"@{listed}"], cwd=copy, env=environment, stdin=subprocess.DEVNULL,
            stdout=said, stderr=subprocess.STDOUT, process_group=0,
        )  # fmt: skip
        # Seconds of the processor, so that what else the machine does decides nothing; a child that only waits is
        # given ten times as long.
        with suppress(ProcessLookupError):
            resource.prlimit(child.pid, resource.RLIMIT_CPU, (math.ceil(limit), resource.RLIM_INFINITY))
        status: int | None = None
        with suppress(subprocess.TimeoutExpired):
            status = child.wait(10 * limit)
        if status == -signal.SIGXCPU:
            status = None
        with suppress(ProcessLookupError):
            os.killpg(child.pid, signal.SIGKILL)
        child.wait()
        shutil.rmtree(cache, ignore_errors=True)
        said.seek(0)
        return status, said.read(1_000_000).decode(errors="replace")


def ask(copy: Path, mutant: Mutant, tests: list[str], limit: float) -> tuple[str, str]:
    """What becomes of a mutant in a copy of the tree: the outcome, and the test that noticed it."""
    with Changed(copy / mutant.file, mutant.code):
        status, said = asked_of(copy, tests, limit, "-x")
    if status is None:
        return "timed out", ""
    if status == 0:
        return "survived", ""
    failed = _FAILED.search(said)
    return "noticed", failed[1] if failed else f"pytest ended with {status}"


def hold_against_the_unchanged(copy: Path, results: Path, seen: Path) -> None:
    """Take back what was noticed by a test that fails by itself, too: the next run asks anew, without that test."""
    have = kept(results)
    by = sorted({result.by for result in have.values() if "::" in result.by})
    status, said = asked_of(copy, by, 3600) if by else (0, "")
    if status == 0:
        return
    failing = set(_FAILED.findall(said))
    print(f"these fail on the unchanged tree; run again for what they noticed: {', '.join(sorted(failing))}")
    with (seen / "failed.unchanged.txt").open("a") as out:
        out.writelines(f"{test}\n" for test in sorted(failing))
    results.unlink()
    for result in have.values():
        if result.by not in failing:
            keep(results, result)


def tried(copies: SimpleQueue[Path], mutant: Mutant, tests: Tests, chosen: list[str]) -> Result:
    """One mutant, in whichever copy is free."""
    begun = time.monotonic()
    outcome, by = "not run by any test", ""
    if chosen:
        copy = copies.get()
        try:
            begun = time.monotonic()
            outcome, by = ask(copy, mutant, chosen, 20 + 4 * tests.expected(chosen))
        finally:
            copies.put(copy)
    place = mutant.place
    return Result(
        mutant.key, mutant.room, mutant.file, place.line, mutant.function, place.operator, mutant.source,
        mutant.changed, outcome, round(time.monotonic() - begun, 2), len(chosen), by,
    )  # fmt: skip


def run(options: argparse.Namespace, mutants: list[Mutant], folder: Path) -> None:
    """Ask the tests about every mutant that has no result yet."""
    names = [name for name in files_of(ROOT) if not name.startswith(f"{HERE.relative_to(ROOT)}/")]
    seen = Path(f"{options.results}.seen") / digest(ROOT, names)
    copies: SimpleQueue[Path] = SimpleQueue()
    for number in range(options.at_once):
        copies.put(copied(ROOT, folder / f"copy{number}"))
    if not (seen / "root.txt").exists():
        shutil.rmtree(seen, ignore_errors=True)
        first = copied(ROOT, folder / "watched")
        watch(first, PACKAGE, seen, options.at_once)
    tests = Tests(seen, ROOT, options.seconds)
    clean = copied(ROOT, folder / "clean")
    status, said = asked_of(clean, sorted(tests.seconds), 600, "--collect-only")
    if status != 0:
        raise SystemExit(f"the tests that were seen are not found again:\n{said[-2000:]}")
    have = kept(options.results)
    wanting = [mutant for mutant in mutants if mutant.key not in have]
    with ThreadPoolExecutor(options.at_once) as threads:
        asked = [(mutant, tests.for_mutant(mutant)) for mutant in sorted(wanting, key=lambda mutant: mutant.file)]
        asked.sort(key=lambda one: wanting.index(one[0]))
        trials = [threads.submit(tried, copies, mutant, tests, chosen) for mutant, chosen in asked]
        try:
            for number, trial in enumerate(trials, 1):
                result = trial.result()
                keep(options.results, result)
                told = f"{result.outcome:9} {result.seconds:6.1f} s  {result.file}:{result.line}  {result.by}"
                print(f"{number}/{len(trials)}  {told}", flush=True)
        except BaseException:
            threads.shutdown(wait=False, cancel_futures=True)
            raise
    hold_against_the_unchanged(clean, options.results, seen)


def main() -> int:
    """Draw the mutants, try them, tell what became of them."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("rooms", nargs="*", default=DEFAULT, help="folders of the compiler")
    parser.add_argument("--results", type=Path, required=True, help="a file of JSON lines, made or gone on with")
    parser.add_argument("--mutants", type=int, default=600, help="how many (600)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=15, help="of tests for a mutant at most (15)")
    parser.add_argument("--at-once", type=int, default=max(1, os.cpu_count() or 1), help="how many at a time")
    parser.add_argument("--list", action="store_true", help="only list the mutants")
    parser.add_argument("--report", action="store_true", help="only report what the results file holds")
    options = parser.parse_args()
    if options.report:
        print(report(list(kept(options.results).values())), end="")
        return 0
    rooms = {room: sources(ROOT / PACKAGE, room) for room in options.rooms}
    if empty := [room for room, files in rooms.items() if not files]:
        parser.error(f"no source in {', '.join(empty)}")
    mutants = drawn(ROOT, rooms, options.mutants, options.seed)
    if options.list:
        for mutant in mutants:
            print(f"{mutant.file}:{mutant.place.line}  {mutant.place.operator}\n- {mutant.source}\n+ {mutant.changed}")
        return 0
    options.results.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        run(options, mutants, Path(folder))
    wanted = {mutant.key for mutant in mutants}
    print(report([result for result in kept(options.results).values() if result.key in wanted]), end="")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
