"""`build --watch`: a piece is built again whenever one of its files is saved.

The files are looked at a few times a second. A piece is a handful of files that the loader can name, so that looking
costs next to nothing, and it works on every machine, on folders of a network and of a container, where the notices of
the system, which a library would wait for, do not arrive.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from cavata.cli.speaking import MANNER
from cavata.diagnostics import Diagnostics
from cavata.names.loader import SUFFIX, load

PAUSE = 0.3
"""Seconds between two looks."""

Stamps = Mapping[Path, tuple[int, int] | None]


def watch(
    script: Path, library: Path | None, build: Callable[[], int], pause: Callable[[float], None] = time.sleep
) -> int:
    """Build, and again after each change, until somebody interrupts the waiting; the status of the last build."""
    if not MANNER.quiet:
        print(f"watching {script}; Control-C ends it", file=sys.stderr)
    while True:
        # What is saved while a build runs counts as a change after it.
        files = files_of(script, library)
        before = stamps(files)
        status = build()
        gc.collect()
        try:
            _changed(script, library, before, pause)
        except KeyboardInterrupt:
            if sys.stderr.isatty():
                print(file=sys.stderr)
            return status


def _changed(script: Path, library: Path | None, before: Stamps, pause: Callable[[float], None]) -> None:
    """Wait until a file is another than before, and is being written no more."""
    while stamps({*before, *beside(script)}) == before:
        pause(PAUSE)
    files = files_of(script, library)
    last = None
    while (now := stamps(files)) != last:
        last = now
        pause(PAUSE)


def files_of(script: Path, library: Path | None) -> set[Path]:
    """The script, what it uses, the scores of which it takes tunes, and the scripts beside it that it may yet use."""
    files = {script.resolve(), *beside(script)}
    loaded = load(script, str(script), Diagnostics(), library=library)
    if loaded is not None:
        files.update(Path(key) for key in loaded.modules)
        files.update((Path(module).parent / score).resolve() for module, score, _ in loaded.tunes)
    return files


def beside(script: Path) -> set[Path]:
    """The scripts in the folder of a piece."""
    return set(script.resolve().parent.glob(f"*{SUFFIX}"))


def stamps(files: set[Path]) -> Stamps:
    """Of each file when it was written and how long it is; None of one that is not there."""
    found: dict[Path, tuple[int, int] | None] = {}
    for file in files:
        try:
            status = file.stat()
        except OSError:
            found[file] = None
        else:
            found[file] = status.st_mtime_ns, status.st_size
    return found
