"""Values that can be computed again, kept as files in the user's own cache folder, since a pickle is a program."""

from __future__ import annotations

import os
import pickle
from contextlib import suppress
from pathlib import Path


def kept(file: Path) -> object:
    """The value in a file; None if there is none that can be used, whatever a damaged file makes of itself."""
    try:
        return pickle.loads(file.read_bytes())
    except Exception:
        return None


def keep(file: Path, value: object) -> None:
    """Keep a value, whole or not at all; a cache that cannot be written is done without."""
    with suppress(OSError, RecursionError):
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_name(f"{file.name}.{os.getpid()}")
        beside.write_bytes(pickle.dumps(value, pickle.HIGHEST_PROTOCOL))
        os.replace(beside, file)
