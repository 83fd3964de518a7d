"""Scores read in this process, where a test asks what becomes of them and not how they are read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from threading import Event

from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.reading import ReadResult
from cavata.foreign.score_file import Unreadable


def read_here(
    paths: Sequence[Path], stop: Event | None = None, told: Callable[[], None] | None = None
) -> Iterator[tuple[Path, ReadResult]]:
    """As `read_scores`, without the children, each of which takes a second to load its reader.

    That both read the same, and what becomes of bad files, is looked at in `test_trace_messages.py`.
    """
    for path in paths:
        try:
            yield path, read_foreign(path)
        except Unreadable as reason:
            yield path, reason
        if told is not None:
            told()
