"""How long `build --to pdf` takes beside LilyPond alone on the same text, as ratios of whole processes.

    python tests/bench/build_speed.py [-n PAIRS] [--notes NOTES] [NAME ...]

Names: one, four, changed, unchanged. LilyPond's side is one process that engraves the .ly file of the whole piece, with
the back end that the compiler uses, which is its quickest. Pairs alternate, so that a machine whose speed drifts
moves both halves alike; how busy it was is told at the end.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from bench import CAVATA
from generated import script_of_movements
from paired import Taken, taken

MOVEMENTS, NOTES = 4, 2_500


class BuildBench:
    """The measurements, in a folder of their own with a cache of their own."""

    def __init__(self, folder: Path, count: int, notes: int) -> None:
        from cavata.lilypond.engrave import find_lilypond

        found = find_lilypond()
        assert isinstance(found, str), found
        self.folder, self.count, self.notes, self.program = folder, count, notes, found
        self.environment = {"CAVATA_CACHE": str(folder / "cache"), "PYTHONHASHSEED": "0"}
        self.editions = 0

    def one(self) -> None:
        """One movement, nothing kept."""
        self._measure("one movement, nothing kept", "at most 1.7", 1, "--fresh")

    def four(self) -> None:
        """Four movements, nothing kept, two sheets at once."""
        self._measure("four movements on two processors, nothing kept", "at most 0.9", MOVEMENTS, "--fresh")

    def changed(self) -> None:
        """Four movements, of which one has a bar changed since the last build."""
        self._measure("a bar changed in one of four movements", "at most 0.45", MOVEMENTS, edits=True)

    def unchanged(self) -> None:
        """Four movements, all as they were built before."""
        self._measure("four movements, unchanged", "at most 0.15", MOVEMENTS)

    def _measure(self, what: str, bound: str, movements: int, *options: str, edits: bool = False) -> None:
        source = self.folder / "piece.cavata"
        source.write_text(script_of_movements(movements, self.notes), encoding="utf-8")
        build = (*CAVATA, "build", str(source), "--out", str(self.folder), "--at-once", "2", *options, "--to")
        taken((*build, "ly"), self.environment)
        alone = (self.program, "--loglevel=ERROR", "-dbackend=cairo", "-dno-point-and-click", "--pdf",
                 "-o", str(self.folder / "alone"), str(self.folder / "piece.ly"))  # fmt: skip
        ours: list[Taken] = []
        theirs: list[Taken] = []
        for pair in range(self.count + 1):
            if edits:
                self.editions += 1
                source.write_text(script_of_movements(movements, self.notes, self.editions), encoding="utf-8")
            first, second = taken((*build, "pdf"), self.environment), taken(alone, self.environment)
            if pair:
                ours.append(first)
                theirs.append(second)
        ratio = median(a.wall / b.wall for a, b in zip(ours, theirs, strict=True))
        busy = median(a.cpu / b.cpu for a, b in zip(ours, theirs, strict=True))
        print(f"{what}: build / LilyPond alone  {ratio:.3f}  ({bound}; processor time {busy:.3f}; "
              f"{median(a.wall for a in ours):.2f} s and {median(b.wall for b in theirs):.2f} s here)", flush=True)


def main() -> None:
    """Measure what was asked for, or everything."""
    arguments = argparse.ArgumentParser(description="Ratios of speed; see the top of this file.")
    names = ("one", "four", "changed", "unchanged")
    arguments.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(names)}; all without")
    arguments.add_argument("-n", type=int, default=5, metavar="PAIRS", help="how many pairs (default: 5)")
    arguments.add_argument("--notes", type=int, default=NOTES, help=f"of each movement (default: {NOTES})")
    given = arguments.parse_args()
    if unknown := set(given.names) - set(names):
        arguments.error(f"there is no measurement {', '.join(sorted(unknown))}; they are {', '.join(names)}")
    with TemporaryDirectory() as folder:
        bench = BuildBench(Path(folder), given.n, given.notes)
        for name in given.names or names:
            measure: Callable[[], None] = getattr(bench, name)
            measure()
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")


if __name__ == "__main__":
    main()
