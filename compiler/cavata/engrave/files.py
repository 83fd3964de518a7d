"""Files written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

Content = bytes | Iterable[bytes]
"""What a file holds, at once or piece by piece."""


def write_whole(path: Path, data: Content) -> None:
    """Write a file so that no reader ever sees half of it: beside it first, then in its place.

    Raises OSError where the folder cannot be written; the old file then stands as it was.
    """
    beside = path.with_name(f".{path.name[:80]}.{os.getpid()}.part")
    try:
        with beside.open("wb") as file:
            file.writelines((data,) if isinstance(data, bytes) else data)
        os.replace(beside, path)
    finally:
        with suppress(OSError):
            beside.unlink()
