"""The folder for what can be computed again: CAVATA_CACHE, else the user's cache folder."""

from __future__ import annotations

import os
from pathlib import Path


def cache_folder(name: str) -> Path:
    """A folder of that name in the cache; it need not exist yet."""
    base = os.environ.get("CAVATA_CACHE") or os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    return Path(base) / "cavata" / name
