"""Foreign scores that a script takes tunes from, read once and kept by their content.

In: a path. Out: its pieces, or why there are none. What was read is kept under a hash of the file's bytes and of the
reader, so that a script is checked without music21 as long as the file is the same, and read afresh when it is not.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from cavata.cache import TUNES, key_of, stamps
from cavata.foreign.heard import HeardScore
from cavata.foreign.reading import ReadResult, packed_scores, read_score, unpacked_scores
from cavata.foreign.score_file import LARGEST_FILE, Unreadable


def read_kept(path: Path) -> ReadResult:
    """Every piece of a file, or why it cannot be read."""
    try:
        key = _key(path)
        kept = None if key is None else TUNES.read_as(key, unpacked_scores)
        return kept if kept is not None else _read(path, key)
    except Unreadable as reason:
        return reason


def _read(path: Path, key: str | None) -> tuple[HeardScore, ...]:
    scores = read_score(path)
    if key is not None and _key(path) == key:  # it is the file that was read, and not one written meanwhile
        TUNES.keep(key, packed_scores(scores))
    return scores


def _key(path: Path) -> str | None:
    """What tells a file's content and our reader from any other; None for a file that is not read at all."""
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_FILE:
            return None
        return key_of(_reader(), version("music21"), path.suffix.lower(), path.read_bytes())
    except OSError:
        return None


@lru_cache(maxsize=1)
def _reader() -> bytes:
    return stamps(sorted(Path(__file__).parent.glob("*.py")))

