"""How long a build takes beside LilyPond alone on the same text, and a later build beside the first.

All are ratios of whole processes, of time on the clock and of processor time with that of child processes.

    python tests/bench/build_speed.py [-n PAIRS] [--notes NOTES] [NAME ...]

Names: one, four, changed, unchanged, all_changed, all_unchanged. LilyPond's side is one process that engraves the .ly
file of the whole piece, with the back end that the compiler uses, which is its quickest. The last two are of PDF,
MusicXML and MIDI together, and the first build makes everything afresh. Pairs alternate, so that a machine whose speed
drifts moves both halves alike; how busy it was is told at the end.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Sequence
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
        self._measure("four movements on two processors, nothing kept", "at most 0.85", MOVEMENTS, "--fresh")

    def changed(self) -> None:
        """Four movements, of which one has a bar changed since the last build."""
        self._measure("a bar changed in one of four movements", "at most 0.45", MOVEMENTS, edits=True)

    def unchanged(self) -> None:
        """Four movements, all as they were built before."""
        self._measure("four movements, unchanged", "at most 0.15", MOVEMENTS)

    def all_changed(self) -> None:
        """PDF, MusicXML and MIDI of four movements, of which one has a bar changed since the first build."""
        self._again("everything, a bar changed in one of four movements", "at most 0.35", edits=True)

    def all_unchanged(self) -> None:
        """The same, all as it was."""
        self._again("everything, unchanged", "at most 0.1")

    def _again(self, what: str, bound: str, edits: bool = False) -> None:
        source = self.folder / "piece.cavata"
        build = (*CAVATA, "build", str(source), "--out", str(self.folder), "--at-once", "2")
        pairs: list[tuple[Taken, Taken]] = []
        for pair in range(self.count + 1):
            source.write_text(script_of_movements(MOVEMENTS, self.notes, self.editions), encoding="utf-8")
            first = taken((*build, "--fresh"), self.environment)
            self.editions += edits
            source.write_text(script_of_movements(MOVEMENTS, self.notes, self.editions), encoding="utf-8")
            again = taken(build, self.environment)
            if pair:
                pairs.append((again, first))
        self._say(f"{what}: later build / first", bound, pairs)

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
        self._say(f"{what}: build / LilyPond alone", bound, list(zip(ours, theirs, strict=True)))

    def _say(self, what: str, bound: str, pairs: Sequence[tuple[Taken, Taken]]) -> None:
        ratio, busy = median(a.wall / b.wall for a, b in pairs), median(a.cpu / b.cpu for a, b in pairs)
        print(f"{what}  {ratio:.3f}  ({bound}; processor time {busy:.3f}; "
              f"{median(a.wall for a, _ in pairs):.2f} s and {median(b.wall for _, b in pairs):.2f} s here, "
              f"of processors {median(a.cpu for a, _ in pairs):.2f} s and {median(b.cpu for _, b in pairs):.2f} s)",
              flush=True)


def main() -> None:
    """Measure what was asked for, or everything."""
    arguments = argparse.ArgumentParser(description="Ratios of speed; see the top of this file.")
    names = ("one", "four", "changed", "unchanged", "all_changed", "all_unchanged")
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
