"""How long the language server takes from a change to its messages, beside a build of MusicXML as it once was.

    python tests/bench/editor_speed.py --old CHECKOUT [-n PAIRS]

CHECKOUT is a checkout of the commit that is measured against, in whose language its own scripts are written; its
modules are run from there. Each pair is one change sent to the server and one `build --to musicxml --fresh` of the same
piece by the old commit, in turn. Wall times, as ratios of pairs; how busy the machine was is told at the end.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path += [str(ROOT / folder) for folder in ("tests", "tests/unit", "tests/bench")]

from editor_client import Editor  # noqa: E402  # beside the tests
from generated import script  # noqa: E402

NOTES = 10_000
_GENERATED = "import sys; sys.path.insert(0, 'tests/bench'); import generated; print(generated.script({}))"


def scripts(old: Path, folder: Path) -> Iterator[tuple[str, Path, Path]]:
    """What each piece is called, its script now, and its script in the language of the old commit."""
    large = "examples/the-long-night/the-long-night.cavata"
    yield "large example", ROOT / large, old / large
    now, then = folder / "big.cavata", folder / "old.cavata"
    now.write_text(script(NOTES), "utf-8")
    environment = {**os.environ, "PYTHONPATH": str(old / "compiler")}
    made = subprocess.run(
        [sys.executable, "-c", _GENERATED.format(NOTES)], cwd=old, env=environment, check=True, capture_output=True
    )
    then.write_bytes(made.stdout)
    yield f"{NOTES} notes in one movement", now, then


def built(old: Path, source: Path, folder: Path) -> float:
    """Seconds of a build by the old commit."""
    environment = {**os.environ, "PYTHONPATH": str(old / "compiler"), "CAVATA_CACHE": str(folder / "old-cache")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-m", "cavata.cli.main", "build", str(source), "--to", "musicxml", "--fresh"]
    begun = time.perf_counter()
    subprocess.run([*command, "--out", str(folder / "out")], env=environment, check=True, capture_output=True)
    return time.perf_counter() - begun


def tell(what: str, pairs: Sequence[tuple[float, float]]) -> None:
    """What pairs of seconds come to, the old commit's second in each."""
    here, there = median(a for a, _ in pairs), median(b for _, b in pairs)
    ratio = median(a / b for a, b in pairs)
    print(f"{what}: {ratio:.3f} x ({here:.3f} s beside {there:.2f} s)", flush=True)


def asked(description: str, count: int) -> Iterator[tuple[str, Path, Path, Path, Path, int]]:
    """What the command line asks to be measured, by default so many pairs: for each piece what it is called, its
    scripts, the old checkout, a folder, and the pairs. When they are measured it is told how busy the machine was."""
    asking = argparse.ArgumentParser(description=description.splitlines()[0])
    asking.add_argument("--old", type=Path, required=True, help="a checkout of the commit that is measured against")
    asking.add_argument("-n", type=int, default=count, help="pairs of each kind")
    given = asking.parse_args()
    return _pieces(given.old.resolve(), given.n)


def _pieces(old: Path, count: int) -> Iterator[tuple[str, Path, Path, Path, Path, int]]:
    with TemporaryDirectory() as made:
        for name, now, then in scripts(old, Path(made)):
            yield name, now, then, old, Path(made), count
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")


def edits(text: str) -> Iterator[tuple[str, str]]:
    """One note's dynamic changed to and fro; a line inserted above everything. Each goes on from the one before."""
    at = text.index(" mf", 2 * len(text) // 3)
    above = number = 0
    while True:
        number += 1
        for kind in ("one note changed", "a line inserted above everything"):
            above += kind != "one note changed"
            changed = text[:at] + (" mp" if number % 2 else " f") + text[at + 3 :]
            yield kind, "-- a remark\n" * above + changed


async def measured(name: str, now: Path, then: Path, old: Path, folder: Path, count: int) -> None:
    """Pairs for each kind of edit."""
    editor = Editor()
    await editor.start()
    text = now.read_text("utf-8")
    uri = await editor.open(now)
    changes = edits(text)
    for _ in range(4):  # so that everything is loaded
        await editor.change(uri, next(changes)[1])
    ratios: dict[str, list[tuple[float, float]]] = {}
    for _ in range(2 * count):
        kind, changed = next(changes)
        begun = time.perf_counter()
        await editor.change(uri, changed)
        ratios.setdefault(kind, []).append((time.perf_counter() - begun, built(old, then, folder)))
    await editor.stop()
    for kind, pairs in ratios.items():
        tell(f"{name}, {kind}", pairs)


def main() -> None:
    """Measure both pieces."""
    for each in asked(__doc__ or "", 7):
        asyncio.run(measured(*each))


if __name__ == "__main__":
    main()
