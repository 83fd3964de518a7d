"""Files written whole or not at all."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that no reader ever sees half of it: beside it first, then in its place.

    Raises OSError where the folder cannot be written; the old file then stands as it was.
    """
    beside = path.with_name(f".{path.name[:80]}.{os.getpid()}.part")
    try:
        beside.write_bytes(data)
        os.replace(beside, path)
    finally:
        with suppress(OSError):
            beside.unlink()
