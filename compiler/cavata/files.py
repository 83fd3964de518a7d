"""Files written whole or not at all, and several together."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

# ----------------------------------------------------------------
# Being told to end: SIGTERM and a closed terminal as Ctrl-C, once, and never between files that belong together.


_WISHES = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


@contextmanager
def ended_politely() -> Iterator[None]:
    """Raise KeyboardInterrupt at the first wish to end, whichever signal brings it; a second does not disturb the
    tidying up. A signal that whoever started us has switched off stays so."""

    def wish(_number: int, _frame: FrameType | None) -> None:
        for number in before:
            signal.signal(number, signal.SIG_IGN)
        raise KeyboardInterrupt

    before = {
        number: signal.getsignal(number) for number in _WISHES
        if _may_set() and signal.getsignal(number) not in (signal.SIG_IGN, None)
    }  # fmt: skip
    for number in before:
        signal.signal(number, wish)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def undisturbed() -> Iterator[None]:
    """Let a wish to end wait until this is done."""
    came: list[int] = []
    before = {number: signal.getsignal(number) for number in _WISHES if _may_set()}
    for number in before:
        signal.signal(number, lambda number, _frame: came.append(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, signal.SIG_DFL if handler is None else handler)
        if came:
            signal.raise_signal(came[0])


def _may_set() -> bool:
    """Only the main thread may say what a signal does."""
    return threading.current_thread() is threading.main_thread()


# ----------------------------------------------------------------

Content = bytes | Iterable[bytes]
"""What a file holds, at once or piece by piece."""
_SUFFIX = ".part"



def write_whole(path: Path, data: Content, private: bool = False) -> None:
    """Write a file so that no reader ever sees half of it: beside it first, then in its place.

    A private one nobody else can read or write. Raises OSError where the folder cannot be written; the old file then
    stands as it was.
    """
    beside = _beside(path)
    try:
        _fill(beside, data, 0o600 if private else 0o666)
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


def rewrite_together(files: Mapping[Path, Content]) -> None:
    """As `write_together`, for files that are there: who may read and write them stays. Raises OSError."""
    rights = {path: path.stat().st_mode & 0o7777 for path in files}
    write_together(files)
    for path, mode in rights.items():
        path.chmod(mode)


def _fill(path: Path, data: Content, mode: int = 0o666) -> None:
    with open(path, "wb", opener=lambda path, flags: os.open(path, flags, mode)) as file:
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
            if found.suffix == _SUFFIX and process.isdecimal() and not lives(int(process)):
                yield found


def lives(process: int) -> bool:
    """Whether a process of that number may still run; where that cannot be known, it may."""
    if os.name != "posix" or process == os.getpid():
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True
