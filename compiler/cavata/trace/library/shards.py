"""The index of a library of scores: many files, each with the notes of some scores.

In: a folder of scores, and one for the index, both of which every worker sees under the same path. Out: for each shard
a file that is written whole, under a name made of what it was read from. So a shard that two workers read is there
once, one whose worker was killed is read by another, and one that is there is not read again; what has changed of the
scores makes other names, and only what is named now is searched.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from cavata.files import write_whole
from cavata.record import record
from cavata.trace.corpus_index import ScoreBatch, groups_of, read_group
from cavata.trace.corpus_trace import CorpusSearch
from cavata.trace.library.columns import about, packed_notes
from cavata.trace.sounds import STEPS, Ints
from cavata.trace.subject import MOST_NOTES

_EDITION = "2"
"""Of the form of the index; another edition is read anew."""
_BYTES, _FILES = 4_000_000, 100
"""Of scores in a shard: some minutes of one processor, so that little is lost with a worker."""


@record
class Shard:
    """Some scores, and the file of the index that their notes stand in."""

    scores: ScoreBatch
    file: Path


@record
class ShardTold:
    """What is known of a shard without its notes."""

    file: Path
    files: int
    failed: tuple[tuple[str, str], ...]
    notes: int
    classes: tuple[int, ...]
    """How often each pitch class comes in its lines."""
    steps: tuple[int, ...]
    windows: tuple[int, ...]
    """How many lines there are of no note, of one, of two ..."""


def shards(root: Path, index: Path) -> tuple[Shard, ...]:
    """The scores below a folder in the order of their paths, some together."""
    groups = groups_of(root.resolve(), _BYTES, _FILES, _EDITION)
    return tuple(Shard(group, index.resolve() / f"{group.key}.parquet") for group in groups)


def indexed(shard: Shard) -> ShardTold:
    """A shard that is in the index, read now unless it is there; what a worker does.

    Raises OSError where nothing can be written.
    """
    told = _known(shard)
    if told is not None:
        return told
    read = read_group(shard.scores)
    sounds = CorpusSearch(read.arrays).sounds
    made = {
        "files": read.files, "failed": read.failed, "notes": len(read.arrays.position),
        "classes": sounds.classes().tolist(), "steps": sounds.steps().tolist(),
        "windows": [sounds.windows(notes) for notes in range(MOST_NOTES + 1)],
    }  # fmt: skip
    shard.file.parent.mkdir(parents=True, exist_ok=True)
    write_whole(shard.file, packed_notes(read.arrays, made))
    told = _known(shard)
    assert told is not None, "what was written can be read"
    return told


def _known(shard: Shard) -> ShardTold | None:
    """What the index has of a shard; None where it has nothing that can be read."""
    try:
        told = about(shard.file)
        return ShardTold(
            shard.file, int(told["files"]), tuple((str(name), str(why)) for name, why in told["failed"]),
            int(told["notes"]), _numbers(told, "classes", 12), _numbers(told, "steps", STEPS),
            _numbers(told, "windows", MOST_NOTES + 1),
        )  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _numbers(told: dict[str, Any], name: str, count: int) -> tuple[int, ...]:
    numbers = tuple(map(int, told[name]))
    if len(numbers) != count:
        raise ValueError(name)
    return numbers


def summed(rows: Sequence[Sequence[int]]) -> Ints:
    """Numbers of all shards together."""
    total: Ints = np.array(rows, np.int64).sum(0)
    return total
