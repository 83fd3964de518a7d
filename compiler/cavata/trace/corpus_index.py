"""The notes of a whole folder of scores, read once and kept.

In: a folder. Out: its `NoteArrays`, and the files that could not be read. Files are read in small groups, each in a
child process of its own, as many at once as there are processors; each group is kept as soon as it is done, so that an
interrupted reading goes on where it stopped. A changed or new file makes its group, and no other, be read again.
However we end, the children end with us (`child`).
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, as_completed
from importlib.metadata import version
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from threading import Event, Lock

from cavata.cache import SCORES, key_of
from cavata.foreign.reading import read_scores
from cavata.foreign.score_file import FORMATS, Unreadable
from cavata.record import record
from cavata.trace.note_arrays import FIELDS, NoteArrays, arrays_of, joined_arrays, texts_of_arrays, with_words

_EDITION = "4"
"""Of the form in which notes are kept; another edition is read anew."""
_GROUP_BYTES, _GROUP_FILES = 400_000, 12

ReadProgress = Callable[[int, int], None]
"""Called with how many files have been read, and how many there are."""


@record
class CorpusIndex:
    """What a folder of scores holds."""

    arrays: NoteArrays
    files: int
    failed: tuple[tuple[str, str], ...]
    """Files that are no scores after all, with the reason."""


@record
class ScoreBatch:
    """Some scores of a folder, which are read together."""

    root: Path
    names: tuple[str, ...]
    """Their paths below it."""
    key: str
    """Made of the folder, the names, and how large and how new each file is."""


def music21_corpus() -> Path:
    """The folder of scores that music21 comes with."""
    found = find_spec("music21")
    assert found is not None and found.origin is not None
    return Path(found.origin).resolve().parent / "corpus"


def corpus_index(root: Path, told: ReadProgress | None = None, workers: int | None = None) -> CorpusIndex:
    """The index of every score below a folder, from the cache as far as it is there.

    Raises OSError where nothing can be kept; KeyboardInterrupt leaves what was read in the cache.
    """
    groups = _groups(root.resolve())
    whole = _key_of_all(groups)
    kept = _load(whole)
    if kept is not None:
        return kept
    SCORES.made_folder()
    held = {group.key: _load(group.key) for group in groups}
    missing = [group for group in groups if held[group.key] is None]
    _read_missing(missing, sum(len(group.names) for group in groups), told, workers or os.cpu_count() or 1)
    held.update({group.key: _load(group.key) for group in missing})
    found = [index for index in held.values() if index is not None]
    index = CorpusIndex(
        joined_arrays([part.arrays for part in found]),
        sum(part.files for part in found),
        tuple(failure for part in found for failure in part.failed),
    )
    _save(whole, index)
    return index


def kept_index(root: Path) -> CorpusIndex | None:
    """The index of a folder if all of it is in the cache; nothing is read otherwise."""
    return _load(_key_of_all(_groups(root.resolve())))


def _groups(root: Path) -> list[ScoreBatch]:
    return groups_of(root, _GROUP_BYTES, _GROUP_FILES, _EDITION)


def groups_of(root: Path, most_bytes: int, most_files: int, edition: str) -> list[ScoreBatch]:
    """The scores below a folder in the order of their paths, some together: so many files, or so many bytes of them.

    What is kept in the form of another edition has other keys.
    """
    groups: list[ScoreBatch] = []
    names: list[str] = []
    marks: list[str] = []
    size = 0
    for path in sorted(p for p in root.rglob("*") if p.suffix.lower() in FORMATS and p.is_file()):
        about = path.stat()
        names.append(path.relative_to(root).as_posix())
        marks.append(f"{names[-1]}\0{about.st_size}\0{about.st_mtime_ns}")
        size += about.st_size
        if size >= most_bytes or len(names) >= most_files:
            groups.append(_group(root, names, edition, marks))
            names, marks, size = [], [], 0
    if names:
        groups.append(_group(root, names, edition, marks))
    return groups


def _group(root: Path, names: list[str], edition: str, marks: list[str]) -> ScoreBatch:
    return ScoreBatch(root, tuple(names), key_of(edition, version("music21"), str(root), *marks))


def _key_of_all(groups: list[ScoreBatch]) -> str:
    return key_of("all", *(group.key for group in groups))


def _read_missing(missing: list[ScoreBatch], total: int, told: ReadProgress | None, workers: int) -> None:
    done = total - sum(len(group.names) for group in missing)
    if not missing:
        return
    stop, counting = Event(), Lock()

    def through() -> None:
        nonlocal done
        with counting:
            done += 1

    pool = ThreadPoolExecutor(min(workers, len(missing)), "reading")
    try:
        waiting = [pool.submit(_read_group, group, stop, through) for group in missing]
        for future in as_completed(waiting):
            future.result()
            if told is not None:
                told(done, total)
    finally:
        stop.set()
        pool.shutdown(wait=True, cancel_futures=True)
        SCORES.tidy()


def _read_group(group: ScoreBatch, stop: Event, through: Callable[[], None]) -> None:
    """Read a few files and keep what is in them, unless it was stopped."""
    read = read_group(group, stop, through)
    if not stop.is_set():
        _save(group.key, read)


def read_group(group: ScoreBatch, stop: Event | None = None, through: Callable[[], None] | None = None) -> CorpusIndex:
    """What the files of a group hold; `through` is called after each, and `stop` ends it at once."""
    found = []
    failed = []
    names = iter(group.names)
    for _, read in read_scores([group.root / name for name in group.names], stop, through):
        name = next(names)
        if isinstance(read, Unreadable):
            failed.append((name, read.message))
        else:
            found += [(name, movement) for score in read for movement in score.movements()]
    return CorpusIndex(arrays_of(found), len(group.names), tuple(failed))


def _save(key: str, index: CorpusIndex) -> None:
    """As NumPy's archive; raises OSError where it cannot be kept."""
    import numpy as np

    arrays = index.arrays
    about = json.dumps({"files": index.files, "failed": index.failed}).encode()
    columns = {name: getattr(arrays, name) for name in (*FIELDS, "starts")}
    made = BytesIO()
    np.savez(
        made, about=np.frombuffer(about, np.uint8), words=np.frombuffer(texts_of_arrays(arrays), np.uint8), **columns
    )
    SCORES.write(key, made.getvalue())


def _load(key: str) -> CorpusIndex | None:
    """What was kept, or None where nothing was, or where it is broken."""
    return SCORES.read_as(key, _index_in)


def _index_in(body: bytes) -> CorpusIndex:
    import numpy as np

    with np.load(BytesIO(body), allow_pickle=False) as kept:
        columns = {name: kept[name] for name in (*FIELDS, "starts")}
        about = json.loads(kept["about"].tobytes())
        arrays = with_words(columns, kept["words"].tobytes())
        failed = tuple((str(name), str(why)) for name, why in about["failed"])
        return CorpusIndex(arrays, int(about["files"]), failed)
