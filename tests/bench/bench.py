"""How fast the compiler is beside what it stands on, as ratios of whole processes.

    python tests/bench/bench.py [-n PAIRS] [NAME ...]

Names: musicxml, growth, passes, check, textures, share. Every ratio comes from alternating pairs of fresh processes
on the same machine (`paired`), so it can be compared between machines, as seconds cannot. Nothing here is a test: a
busy machine fails no build.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from generated import as_plain_data, long_script, plain_script, script, texture_script
from paired import Pairs, pairs, taken

HERE = Path(__file__).resolve().parent
DEMO = HERE.parent.parent / "examples" / "three-watches" / "three-watches.cavata"
NOTES = 10_000
PYTHON = sys.executable
CAVATA = (PYTHON, "-c", "from cavata.cli.main import program; program()")
IMPORT_MUSIC21 = (PYTHON, "-c", "import music21")


class Bench:
    """The measurements, in a folder of their own with a cache of their own."""

    def __init__(self, folder: Path, count: int) -> None:
        self.folder = folder
        self.count = count
        self.environment = {"CAVATA_CACHE": str(folder / "cache"), "PYTHONHASHSEED": "0"}

    def musicxml(self) -> None:
        """A script of 10,000 notes to MusicXML, against the plainest music21 program for the same score."""
        source = self._script("score", script(NOTES))
        data = self.folder / "score.json"
        data.write_text(json.dumps(as_plain_data(source)), encoding="utf-8")
        plain = (PYTHON, str(HERE / "plain_music21.py"), str(data), str(self.folder / "plain.musicxml"))
        self._say("musicxml: build / plain music21", "at most 0.40", self._pairs(self._build(source), plain))

    def growth(self) -> None:
        """The same from 1,000 to 100,000 notes, by processor time.

        What one more note costs between the middle and the large score, over what it costs between the small and the
        middle one, so that the start, the same for all, hides nothing.
        """
        notes, times = [], []
        for wanted in (1_000, NOTES, 100_000):
            source = self._script(f"score{wanted}", script(wanted))
            notes.append(as_plain_data(source)["notes"])
            taken(self._build(source), self.environment)
            times.append(median(taken(self._build(source), self.environment).cpu for _ in range(3)))
        costs = [(times[i + 1] - times[i]) / (notes[i + 1] - notes[i]) for i in (0, 1)]
        print(f"growth: a note's cost from {notes[1]} to {notes[2]} notes / from {notes[0]} to {notes[1]}  "
              f"{costs[1] / costs[0]:.3f}  (at most 1.3)", flush=True)

    def passes(self) -> None:
        """Our passes from the text to written bars, against music21's fast exporter on what they made."""
        source = self._script("score", script(NOTES))
        ratios = []
        for _ in range(self.count):
            said = subprocess.run(
                (PYTHON, str(HERE / "exported.py"), str(source)), check=True, capture_output=True, text=True
            ).stdout.split()
            ratios.append(float(said[0]) / float(said[1]))
        print(f"passes: text to written bars / fast exporter  {median(ratios):.3f}  (at most 0.6)", flush=True)

    def check(self) -> None:
        """`cavata check` against `import music21`: of the demo, and of a script of 2,000 lines."""
        self._say("check: the demo / import music21", "at most 0.6",
                  self._pairs((*CAVATA, "check", str(DEMO)), IMPORT_MUSIC21, 3 * self.count))
        long = self._script("long", long_script(2_000))
        self._say("check: 2,000 lines / import music21", "at most 2",
                  self._pairs((*CAVATA, "check", str(long)), IMPORT_MUSIC21))

    def textures(self) -> None:
        """`cavata check` of 10,000 notes made by canons, stretti and hockets, against as many in plain lines."""
        sides = [
            (*CAVATA, "check", str(self._script(name, text)))
            for name, text in (("textures", texture_script(NOTES)), ("plain", plain_script(NOTES)))
        ]
        self._say("textures: 10,000 notes of textures / 10,000 plain notes", "at most 1.5", self._pairs(*sides))

    def share(self) -> None:
        """How much of `build --to pdf` of the demo is LilyPond's own time on the same text."""
        from cavata.lilypond.engrave import find_lilypond

        lilypond = find_lilypond()
        assert isinstance(lilypond, str), lilypond
        out = ("--out", str(self.folder))
        taken((*CAVATA, "build", str(DEMO), "--to", "ly", *out), self.environment)
        text = str(self.folder / f"{DEMO.stem}.ly")
        engraving = (lilypond, "--loglevel=ERROR", "-o", str(self.folder / "alone"), text)
        runs = self._pairs(engraving, (*CAVATA, "build", str(DEMO), "--to", "pdf", *out))
        self._say("share: LilyPond alone / build --to pdf", "for knowledge", runs)

    def _pairs(self, first: tuple[str, ...], second: tuple[str, ...], count: int = 0) -> Pairs:
        return pairs(first, second, count or self.count, self.environment)

    def _build(self, source: Path) -> tuple[str, ...]:
        return (*CAVATA, "build", str(source), "--to", "musicxml", "--out", str(self.folder))

    def _script(self, name: str, text: str) -> Path:
        path = self.folder / f"{name}.cavata"
        path.write_text(text, encoding="utf-8")
        return path

    def _say(self, what: str, bound: str, runs: Pairs) -> None:
        first, second = (median(t.wall for t in side) for side in (runs.first, runs.second))
        print(f"{what}  {runs.ratio:.3f}  ({bound}; processor time {runs.cpu_ratio:.3f}; "
              f"{first:.2f} s and {second:.2f} s here)", flush=True)


def main() -> None:
    """Measure what was asked for, or everything."""
    arguments = argparse.ArgumentParser(description="Ratios of speed; see the top of this file.")
    names = ("musicxml", "growth", "passes", "check", "textures", "share")
    arguments.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(names)}; all without")
    arguments.add_argument("-n", type=int, default=5, metavar="PAIRS", help="how many pairs (default: 5)")
    given = arguments.parse_args()
    if unknown := set(given.names) - set(names):
        arguments.error(f"there is no measurement {', '.join(sorted(unknown))}; they are {', '.join(names)}")
    with TemporaryDirectory() as folder:
        bench = Bench(Path(folder), given.n)
        for name in given.names or names:
            measure: Callable[[], None] = getattr(bench, name)
            measure()


if __name__ == "__main__":
    main()
