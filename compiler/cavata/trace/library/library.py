"""A library of scores, indexed and searched by its workers.

In: a folder of scores, one for the index, workers, and names. Out: each name weighed in the whole library, and every
place where it stands, as `corpus_trace` tells them of one machine: the same places, and the same p. What is sought of
all names goes through each shard once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

import numpy as np

from cavata.record import record, replace
from cavata.trace.chance import DECOYS, Weighed, weighed
from cavata.trace.corpus_trace import CorpusForm, CorpusSearch, corpus_trace, seed_of
from cavata.trace.decoys import decoys, own_keys
from cavata.trace.hits import HitKind
from cavata.trace.library.columns import unpacked_notes
from cavata.trace.library.shards import ShardTold, indexed, shards, summed
from cavata.trace.library.workers import Workers
from cavata.trace.sounds import Ints, counted_exact
from cavata.trace.subject import Sought, Subject

_Counts = dict[bytes, list[tuple[HitKind, Ints]]]


@record
class LibraryFinds:
    """What was sought, in the whole library."""

    weighed: tuple[Weighed, ...]
    """Each name."""
    forms: tuple[tuple[CorpusForm, ...], ...]
    """For each name every form by each of its ciphers."""


class ScoreLibrary:
    """A folder of scores that is in the index."""

    def __init__(self, told: Sequence[ShardTold], hands: Workers) -> None:
        self._shards, self._hands = tuple(told), hands
        self.files = sum(shard.files for shard in told)
        self.notes = sum(shard.notes for shard in told)
        self.failed = tuple(sorted(failure for shard in told for failure in shard.failed))

    @staticmethod
    def of(root: Path, index: Path, hands: Workers, told: Callable[[int, int], None]) -> ScoreLibrary:
        """The library, whatever is missing of the index made now; `told` hears how many files are in it, of how many.

        Raises OSError where the index cannot be written, Lost where no worker can read something.
        """
        wanted = shards(root, index)
        order = {shard.file: number for number, shard in enumerate(wanted)}
        every, done = sum(len(shard.scores.names) for shard in wanted), 0
        found: list[ShardTold] = []
        for shard in hands.each(indexed, wanted):
            found.append(shard)
            done += shard.files
            told(done, every)
        return ScoreLibrary(sorted(found, key=lambda shard: order[shard.file]), hands)

    def search(self, names: Sequence[Sought], tests: int) -> LibraryFinds:
        """Every name; `tests`: how many there are in the run with all its files."""
        sounds = _LibrarySounds(self._shards, self._hands)
        rows = [
            np.concatenate((own_keys(subject), others))
            for name in names
            for subject, others in zip(name.subjects, decoys(name, sounds, DECOYS), strict=True)
        ]
        subjects = [subject for name in names for subject in name.subjects]
        forms = self._looked(sounds, rows, subjects)
        by_name = iter(forms)
        return LibraryFinds(
            tuple(weighed(sounds, name, tests=tests, exact=True) for name in names),
            tuple(tuple(form for _ in name.subjects for form in next(by_name)) for name in names),
        )

    def _looked(
        self, sounds: _LibrarySounds, rows: list[Ints], subjects: list[Subject]
    ) -> list[tuple[CorpusForm, ...]]:
        """One way through all shards: lines counted for all names, and their places."""
        look = partial(_look, rows=rows, subjects=subjects)
        order = {shard.file: number for number, shard in enumerate(self._shards)}
        found: list[tuple[int, list[tuple[CorpusForm, ...]]]] = []
        for file, counts, forms in self._hands.each(look, [shard.file for shard in self._shards]):
            sounds.add(rows, counts)
            found.append((order[file], forms))
        found.sort(key=lambda pair: pair[0])
        return [_merged([forms[number] for _, forms in found]) for number in range(len(subjects))]


def _look(
    file: Path, rows: list[Ints], subjects: list[Subject]
) -> tuple[Path, list[list[tuple[HitKind, Ints]]], list[tuple[CorpusForm, ...]]]:
    """What a worker does with a shard."""
    search = CorpusSearch(unpacked_notes(file))
    counts = [list(counted_exact(search.sounds, keys)) for keys in rows]
    return file, counts, [corpus_trace(search, subject) for subject in subjects]


def _merged(parts: list[tuple[CorpusForm, ...]]) -> tuple[CorpusForm, ...]:
    """The forms of one subject in all shards."""
    return tuple(
        replace(same[0], strict=sum(form.strict for form in same), places=tuple(p for f in same for p in f.places))
        for same in zip(*parts, strict=True)
    )


class _LibrarySounds:
    """The notes of a library, as far as names are weighed in them: its sums, and lines counted by its workers."""

    def __init__(self, told: Sequence[ShardTold], hands: Workers) -> None:
        self._files, self._hands = [shard.file for shard in told], hands
        self._classes = summed([shard.classes for shard in told])
        self._steps = summed([shard.steps for shard in told])
        self._windows = summed([shard.windows for shard in told])
        self._known: _Counts = {}

    @property
    def fingerprint(self) -> bytes:
        """As that of a corpus on one machine."""
        return seed_of(self)

    def classes(self) -> Ints:
        """How often each pitch class comes."""
        return self._classes

    def steps(self, stride: int = 1) -> Ints:
        """How often each step comes; only between neighbors."""
        assert stride == 1
        return self._steps

    def windows(self, notes: int, stride: int = 1) -> int:
        """How many lines of so many notes there are."""
        assert stride == 1
        return int(self._windows[notes])

    def exact(self, keys: Ints) -> Iterator[tuple[HitKind, Ints]]:
        """How often each line comes: as it was counted with the others, else in one more way through all shards."""
        if keys.tobytes() not in self._known:
            for _, counts, _ in self._hands.each(partial(_look, rows=[keys], subjects=[]), self._files):
                self.add([keys], counts)
        return iter(self._known[keys.tobytes()])

    def add(self, rows: list[Ints], counts: list[list[tuple[HitKind, Ints]]]) -> None:
        """Take in what was counted in one more shard."""
        for keys, more in zip(rows, counts, strict=True):
            known = self._known.get(keys.tobytes())
            self._known[keys.tobytes()] = more if known is None else [
                (kind, before + now) for (kind, before), (_, now) in zip(known, more, strict=True)
            ]  # fmt: skip
