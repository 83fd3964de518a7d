"""The scripts of a folder, and which of them it stands for."""

from __future__ import annotations

import os
import re
from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.names.loader import SUFFIX
from cavata.text import backticked

_PIECE = re.compile(r"^piece\b", re.MULTILINE)


def scripts_in(folder: Path) -> list[Path]:
    """The scripts that lie in a folder, by their names; a folder that is called like one is none."""
    return [script for script in sorted(folder.glob(f"*{SUFFIX}")) if not os.path.isdir(script)]


def script_of(given: Path, bag: Diagnostics) -> Path | None:
    """The script itself; of a folder the one called like it, else its only one, else the only one that says `piece`.

    None where there is no such script, which was reported.
    """
    if not os.path.isdir(given):
        return given
    scripts = scripts_in(given)
    named = given.resolve().name + SUFFIX
    for script in scripts:
        if script.name == named:
            return script
    pieces = [script for script in scripts if _says_piece(script)] if len(scripts) > 1 else scripts
    if len(pieces) == 1:
        return pieces[0]
    found = backticked(script.name for script in (pieces or scripts)[:6])
    bag.error(
        "O102",
        None,
        f"the folder `{given}` does not hold one piece",
        label=f"found {found}" if found else f"no file there ends in `{SUFFIX}`",
        cure=f"name the script itself, or call it `{named}`" if found else "name the script, or the folder it is in",
    )
    return None


def _says_piece(script: Path) -> bool:
    try:
        return script.is_file() and bool(_PIECE.search(script.read_text("utf-8", errors="replace")))
    except OSError:
        return False
