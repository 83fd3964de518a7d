"""Which LilyPond engraves.

In: the environment. Out: the program to run, or why there is none. `CAVATA_LILYPOND` names one outright; else the one
that came with the installation is taken, else the one on the path if it is new enough.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from functools import lru_cache
from pathlib import Path

from cavata.lilypond.engraving import Failure, Fault

OVERRIDE = "CAVATA_LILYPOND"
OLDEST = (2, 24)
"""The earliest LilyPond whose syntax the emitter writes."""
_VERSION = re.compile(r"LilyPond (\d+)\.(\d+)")
_HOW_TO_GET_IT = (
    'install it with `pip install "lilypond==2.24.*"`, or from lilypond.org or your system\'s packages, '
    f"or name the program in the environment variable {OVERRIDE}"
)


def find_lilypond() -> str | Failure:
    """The path of a LilyPond that works, or a failure that says how to get one."""
    override = os.environ.get(OVERRIDE, "")
    if override:
        program = shutil.which(override)
        return program or Failure(Fault.MISSING, f"{OVERRIDE} names no program: {override}", _HOW_TO_GET_IT)
    return _installed() or _on_path(shutil.which("lilypond") or "")


def _installed() -> str:
    """The LilyPond of the `lilypond` package; empty if it is not there, as on some machines it cannot be."""
    try:
        import lilypond
    except ImportError:
        return ""
    program = str(lilypond.executable())
    return program if os.access(program, os.X_OK) else ""


@lru_cache(maxsize=4)
def _on_path(program: str) -> str | Failure:
    if not program:
        return Failure(Fault.MISSING, "LilyPond, which draws the pages, is not installed", _HOW_TO_GET_IT)
    try:
        answer = subprocess.run(
            [program, "--version"], capture_output=True, text=True, errors="replace", timeout=30, check=False
        ).stdout
    except (OSError, subprocess.TimeoutExpired):
        answer = ""
    found = _VERSION.search(answer)
    if found and (int(found[1]), int(found[2])) >= OLDEST:
        return program
    said = f"{found[1]}.{found[2]}" if found else "of unknown version"
    return Failure(Fault.MISSING, f"the LilyPond on the path is {said}; 2.24 or later is needed", _HOW_TO_GET_IT)


def text_fonts() -> tuple[Path, ...]:
    """The sans-serif fonts that come with LilyPond: Latin, Greek and Cyrillic. None where it is not there."""
    program = find_lilypond()
    if isinstance(program, Failure):
        return ()
    share = Path(program).resolve().parent.parent / "share" / "lilypond"
    return tuple(sorted(share.glob("*/fonts/otf/NimbusSans-*.otf")))
