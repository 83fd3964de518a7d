"""How long comparing two versions takes, against checking both: whole processes, in alternating pairs.

    python tests/bench/compare_speed.py [-n PAIRS] [NOTES]

The new version of a generated piece of 10,000 notes has edits all over: motifs transposed, marked, made longer; a
section moved, one put in. The promise is at most 1.2 x the time of checking both. Not a timed test.
"""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from generated import script
from paired import Taken, taken

CAVATA = (sys.executable, "-c", "from cavata.cli.main import main; raise SystemExit(main())")


def edited(text: str) -> str:
    """Another version of a generated piece."""
    text = re.sub(r"(motif hedda_\w+ = hedda) ->", r"\1 -> up M3 ->", text)
    text = re.sub(r"(motif tamsin_b\w+ = .*)", r"\1 -> marked ff", text)
    text = re.sub(r"(motif corwen_w\w+ = .*)", r"\1 -> lengthened last to 1/8", text)
    head, *sections = text.split("    section ")
    second = sections.pop(1)
    sections.insert(4, second)
    sections.insert(7, second.replace("stretch", "fresh", 1))
    return "    section ".join([head, *sections])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("notes", nargs="?", type=int, default=10_000)
    parser.add_argument("-n", type=int, default=7)
    given = parser.parse_args()
    with TemporaryDirectory() as folder:
        environment = {"CAVATA_CACHE": str(Path(folder) / "cache")}
        old, new = Path(folder) / "old.cavata", Path(folder) / "new.cavata"
        old.write_text(script(given.notes), encoding="utf-8")
        new.write_text(edited(script(given.notes)), encoding="utf-8")

        def both() -> Taken:
            first, second = (taken((*CAVATA, "check", str(path)), environment) for path in (old, new))
            return Taken(first.wall + second.wall, first.cpu + second.cpu)

        def comparing() -> Taken:
            return taken((*CAVATA, "compare", str(old), str(new)), environment)

        both(), comparing()
        runs = [(comparing(), both()) for _ in range(given.n)]
        ratio = median(a.cpu / b.cpu for a, b in runs)
        wall = median(a.wall / b.wall for a, b in runs)
        print(f"compare / check of both, {given.notes} notes each: {ratio:.3f} of processor time, "
              f"{wall:.3f} by the clock  (at most 1.2)")


if __name__ == "__main__":
    main()
