"""Where things lie: grammar and library beside `compiler/` in a checkout or inside the wheel, the rest in the cache."""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder `grammar` or `stdlib`."""
    packaged = _PACKAGE / name
    return packaged if packaged.is_dir() else _PACKAGE.parent.parent / name


def cache_folder(name: str) -> Path:
    """The folder of that name for what can be computed again: in CAVATA_CACHE, else in the user's cache folder."""
    base = os.environ.get("CAVATA_CACHE") or os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    return Path(base) / "cavata" / name
