"""Which script a command means: a file, or a folder that holds one piece."""

from __future__ import annotations

import os
import re
from pathlib import Path

from cavata.diagnostics.record import Diagnostics
from cavata.names.loader import SUFFIX

_PIECE = re.compile(r"^piece\b", re.MULTILINE)


def find_script(given: str, bag: Diagnostics) -> Path | None:
    """The script; None when that was reported.

    In a folder it is the script called like the folder, else the only one that says `piece`.
    """
    path = Path(given)
    if not os.path.isdir(path):
        return path
    scripts = sorted(path.glob(f"*{SUFFIX}"))
    named = path.resolve().name + SUFFIX
    for script in scripts:
        if script.name == named:
            return script
    pieces = [script for script in scripts if _says_piece(script)] if len(scripts) > 1 else scripts
    if len(pieces) == 1:
        return pieces[0]
    found = ", ".join(f"`{script.name}`" for script in (pieces or scripts)[:6])
    bag.error(
        "O102",
        None,
        f"the folder `{given}` does not hold one piece",
        f"found {found}" if found else f"no file there ends in `{SUFFIX}`",
        f"name the script itself, or call it `{named}`",
    )
    return None


def _says_piece(script: Path) -> bool:
    try:
        return script.is_file() and bool(_PIECE.search(script.read_text("utf-8", errors="replace")))
    except OSError:
        return False
