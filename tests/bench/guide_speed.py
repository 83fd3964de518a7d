"""How long a second guide of an unchanged piece takes, against the first.

    python tests/bench/guide_speed.py [COUNT]

Alternating pairs of whole processes; before each first guide what was kept of guides and pages is thrown away, all else
in the cache stays. Prints the median of the ratios, by the clock and of processor time; the promise is at most 0.2. Not
a timed test.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from paired import pairs

from cavata.resources import folder

PIECES = ("three-watches", "the-long-night")
_ANEW = """
import shutil, sys
from cavata.cache import PAGES
shutil.rmtree(PAGES.folder(), ignore_errors=True)
from cavata.cli.main import main
raise SystemExit(main(sys.argv[1:]))
"""


def measured(piece: str, count: int) -> str:
    """One line on a piece."""
    with tempfile.TemporaryDirectory() as place:
        words = ["guide", str(folder("examples") / piece), "--out", str(Path(place) / "out")]
        second = [sys.executable, "-m", "cavata.cli.main", *words]
        first = [sys.executable, "-c", _ANEW, *words]
        found = pairs(second, first, count, {"CAVATA_CACHE": str(Path(place) / "cache")})
    return f"{piece}: {found.ratio:.3f} by the clock, {found.cpu_ratio:.3f} of processor time"


if __name__ == "__main__":
    for name in PIECES:
        print(measured(name, int(sys.argv[1]) if len(sys.argv) > 1 else 3))
