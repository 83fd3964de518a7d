"""Noticing that something was saved: the files of a piece are watched, and the desk is told when it has quieted down.

In: a desk. Out: `Desk.save`, once for all that changed at nearly the same time. An editor may write into a file, put
another in its place, or take it away for a moment: the folders are watched, not the files.
"""

from __future__ import annotations

import gc
import os
import threading
import time
from pathlib import Path

from watchfiles import Change, watch

from cavata.desk.desk import Desk
from cavata.names.loader import SUFFIX

QUIET, LONGEST = 10, 60
"""Milliseconds: without a further change all is taken to be written; with changes on and on it is looked at anyway."""
LOOKED_AGAIN = 500
"""Milliseconds after which the folders themselves are looked for again: one may have been moved away, or come back."""
MOST_UNTIDIED = 100
"""Saves one after the other, at most, between which memory is not tidied."""
TIDIED = 20
"""When memory is tidied: after so many looks, LOOKED_AGAIN apart, at which nothing was saved."""
EMPTY, GONE = 1.0, 0.15
"""Seconds for which a script that is empty, or not there, is taken for one that is being written."""


class Watch:
    """A thread that watches the files of a desk until it is stopped."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._stop = threading.Event()
        self.began = threading.Event()
        """Set when it begins to watch the folders; what changed before they are watched is found at the first look."""
        self._idle = TIDIED
        """How many times nothing was found to have changed."""
        self._untidied = 0
        """How many times was saved since memory was tidied."""
        self._thread = threading.Thread(target=self._run, name="watch", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """End, and wait for the end."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        if self._desk.opening is not None:
            self._desk.opening.wait()
        while not self._stop.is_set():
            folders = self._folders()
            if not folders:
                self._stop.wait(LOOKED_AGAIN / 1000)
                continue
            try:
                self._watched(folders)
            except OSError:  # gone while it was asked for
                self._stop.wait(LOOKED_AGAIN / 1000)

    def _watched(self, folders: dict[str, tuple[int, int]]) -> None:
        """Watch these folders as long as they are the ones to watch."""
        changes = watch(
            *folders, watch_filter=self._concerns, debounce=LONGEST, step=QUIET, stop_event=self._stop,
            rust_timeout=LOOKED_AGAIN, yield_on_timeout=True, recursive=False, raise_interrupt=False,
        )  # fmt: skip
        self.began.set()
        for looks, found in enumerate(changes):
            if found:
                self._saved()
            elif not looks:
                self._desk.save()  # something may have changed before anybody watched
            self._tidied(idle=not found)
            if self._stop.is_set() or self._folders() != folders:
                return

    def _saved(self) -> None:
        if not self._size():  # to be written anew; if it stays so, it is meant
            end, before = time.monotonic() + (EMPTY if self._desk.path.exists() else GONE), -1
            while time.monotonic() < end and not self._stop.wait(QUIET / 1000):
                now = self._size()
                if now and now == before:
                    break
                before = now
        self._desk.save()
        self._untidied += 1

    def _size(self) -> int:
        """How long the script is; 0 where it is not there."""
        try:
            return self._desk.path.stat().st_size
        except OSError:
            return 0

    def _tidied(self, idle: bool) -> None:
        """Free what refers to itself of what nobody holds any more. It takes a third of a second with 10,000 notes,
        during which nothing is answered, and there is hardly any; so it is done when nothing was saved for a while, or
        after many saves. By itself Python does it in this process too seldom for one that stays; see
        `cli/main.py`."""
        self._idle = self._idle + 1 if idle else 0
        if self._idle == TIDIED or self._untidied >= MOST_UNTIDIED:
            self._untidied = 0
            gc.collect()

    def _files(self) -> set[str]:
        loaded = self._desk.state.compiled.loaded
        files = {str(self._desk.path)}
        if loaded is not None:
            files |= {*loaded.modules}
            files |= {os.path.realpath(Path(module).parent / name) for module, name, _ in loaded.tunes}
        return files

    def _folders(self) -> dict[str, tuple[int, int]]:
        """The folders of all files, each with what tells it from another of the same name."""
        found = {}
        for folder in sorted({str(Path(file).parent) for file in self._files()}):
            try:
                about = os.stat(folder)
            except OSError:
                continue
            found[folder] = about.st_dev, about.st_ino
        return found

    def _concerns(self, _change: Change, path: str) -> bool:
        """Whether the piece may be another by a change of a file."""
        return path.endswith(SUFFIX) or path in self._files()
