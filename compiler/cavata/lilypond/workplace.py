"""A folder of its own for each run of LilyPond.

It is gone when the run is over, also when the run is ended. A process that is killed outright in the instant between
making the folder and handing it to its child leaves it behind; a later run takes it away.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

_NAMED = re.compile(r"cavata-(\d+)-")
OLD = 3_600
"""Seconds after which a folder may be called left behind; a run of LilyPond takes minutes at most."""


@contextmanager
def workplace() -> Iterator[Path]:
    """The folder; raises OSError where none can be made."""
    left_behind_removed(Path(tempfile.gettempdir()))
    with tempfile.TemporaryDirectory(prefix=f"cavata-{os.getpid()}-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def left_behind_removed(temporary: Path, old: float = OLD) -> None:
    """Take away folders whose process is no more; `old` is in seconds, since other machines may share the place."""
    if os.name != "posix":
        return
    for path in temporary.glob("cavata-*"):
        named = _NAMED.match(path.name)
        with suppress(OSError):
            if named and time.time() - path.stat().st_mtime >= old and not _lives(int(named[1])):
                shutil.rmtree(path, ignore_errors=True)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True
