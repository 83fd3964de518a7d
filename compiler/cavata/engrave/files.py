"""Files written whole or not at all, and several together."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from cavata.engrave.ending import undisturbed

Content = bytes | Iterable[bytes]
"""What a file holds, at once or piece by piece."""
_SUFFIX = ".part"



def write_whole(path: Path, data: Content) -> None:
    """Write a file so that no reader ever sees half of it: beside it first, then in its place.

    Raises OSError where the folder cannot be written; the old file then stands as it was.
    """
    beside = _beside(path)
    try:
        _fill(beside, data)
        os.replace(beside, path)
    finally:
        with suppress(OSError):
            beside.unlink()


def write_together(files: Mapping[Path, Content]) -> None:
    """Write files so that all of them appear at one moment, as nearly as a file system allows.

    Raises OSError as `write_whole` does; as a rule all old files then stand as they were. A wish to end that comes
    while they are put in place waits until they are.
    """
    for path in files:
        if path.is_dir():
            raise IsADirectoryError(None, f"`{path.name}` is a folder")
    beside = {path: _beside(path) for path in files}
    try:
        for path, data in files.items():
            _fill(beside[path], data)
        with undisturbed():
            for path, part in beside.items():
                os.replace(part, path)
    finally:
        for part in (*beside.values(), *_left_behind(files)):
            with suppress(OSError):
                part.unlink()


def _fill(path: Path, data: Content) -> None:
    with path.open("wb") as file:
        file.writelines((data,) if isinstance(data, bytes) else data)


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name[:80]}.{os.getpid()}{_SUFFIX}")


def _left_behind(files: Mapping[Path, Content]) -> Iterator[Path]:
    """What earlier writers of these files left, who were killed while they wrote."""
    names = {f".{path.name[:80]}" for path in files}
    for folder in {path.parent for path in files}:
        for found in half_written(folder):
            if found.name.removesuffix(_SUFFIX).rpartition(".")[0] in names:
                yield found


def half_written(folder: Path) -> Iterator[Path]:
    """The files of a folder that processes were writing which live no longer."""
    with suppress(OSError):
        for found in folder.iterdir():
            process = found.name.removesuffix(_SUFFIX).rpartition(".")[2]
            if found.suffix == _SUFFIX and process.isdecimal() and not _lives(int(process)):
                yield found


def _lives(process: int) -> bool:
    if os.name != "posix" or process == os.getpid():
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
