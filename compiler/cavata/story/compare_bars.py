"""Which bars of the old version are which of the new one.

In: two readings of a movement. Out: blocks of bars that belong together, what stayed in its order and what was
moved, and the bars that only one version has. Sections are laid beside each other first, by name and by what they hold;
then bars by their content, so that what was put in shifts the rest without making it different.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from cavata.story.compare_align import Places, in_blocks, most_alike
from cavata.story.compare_reading import Note, ReadMovement
from cavata.story.compare_sections import matched_sections, staying
from cavata.value import dataclass

_MOST_WEIGHED = 40_000
"""Pairs of bars weighed against each other in one place; a longer place is laid side by side as it stands."""
_STILL_THE_SAME = 0.3
"""How alike two bars are, from 0 to 1, that are told as one bar changed."""
_MOVED_NOTES = 4
"""Notes that a passage without a section of its own has at least, to be told as moved: fewer are found by chance."""


@dataclass(frozen=True, slots=True)
class Block:
    """Bars from one to before another, in both versions; nearly always one bar in each."""

    old: tuple[int, int]
    new: tuple[int, int]
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Alignment:
    """Two versions of a movement beside each other."""

    blocks: tuple[Block, ...]
    """In the order of the new version."""
    gone: tuple[int, ...]
    """Bars that only the old version has."""
    added: tuple[int, ...]
    """Bars that only the new version has."""
    sections: tuple[tuple[int, int], ...] = ()
    """Which section is which."""


def aligned(old: ReadMovement, new: ReadMovement) -> Alignment:
    """Lay two versions beside each other."""
    if old.prints == new.prints:
        every = tuple(Block((at, at + 1), (at, at + 1)) for at in range(len(new.prints)))
        return Alignment(every, (), (), matched_sections(old, new, Likeness(old, new).of_bars))
    aligner = _Aligner(old, new)
    blocks = sorted(aligner.blocks(), key=lambda block: block.new)
    kept_old = {bar for block in blocks for bar in range(*block.old)}
    kept_new = {bar for block in blocks for bar in range(*block.new)}
    return Alignment(
        tuple(blocks),
        tuple(bar for bar in range(len(old.prints)) if bar not in kept_old),
        tuple(bar for bar in range(len(new.prints)) if bar not in kept_new),
        aligner.sections,
    )


class Likeness:
    """How alike bars of two versions are, from 0 to 1."""

    def __init__(self, old: ReadMovement, new: ReadMovement) -> None:
        self._old, self._new = lru_cache(None)(_Traits(old)), lru_cache(None)(_Traits(new))

    def of_bars(self, old: int, new: int) -> float:
        """Shared traits of all traits: when notes begin, how long they last, their pitches, their intervals."""
        a, b = self._old(old), self._new(new)
        return 2 * len(a & b) / (len(a) + len(b))


class _Traits:
    def __init__(self, read: ReadMovement) -> None:
        self._read = read

    def __call__(self, bar: int) -> frozenset[int]:
        begin = self._read.begins[bar]
        found = {
            trait for lane, notes in self._read.bars[bar].items()
            for trait in _traits(hash(lane), begin, notes)
        }  # fmt: skip
        return frozenset(found or {hash(("silent", self._read.length(bar)))})


def _traits(lane: int, begin: int, notes: Sequence[Note]) -> Iterable[int]:
    before = 0
    for note in notes:
        at = note.onset - begin
        yield hash((lane, at, note.length, 0))
        yield hash((lane, at, note.sound, 1))
        yield hash((lane, at, note.sound - before, 2))
        before = note.sound


class _Aligner:
    def __init__(self, old: ReadMovement, new: ReadMovement) -> None:
        self.old, self.new = old, new
        self.likeness = Likeness(old, new).of_bars
        self.sections = matched_sections(old, new, self.likeness)
        self._pairs: list[Block] = []

    def blocks(self) -> list[Block]:
        """All that belongs together."""
        stays = set(staying(self.sections, self.old))
        moved = [pair for pair in self.sections if pair not in stays]
        chain_old = _without(self.old, {a for a, _ in moved})
        chain_new = _without(self.new, {b for _, b in moved})
        blocks = self.by_sections(chain_old, chain_new)
        for a, b in moved:
            inside = self.by_sections(_of_section(self.old, a), _of_section(self.new, b))
            blocks += [Block(block.old, block.new, True) for block in inside]
        return blocks + self.moved_passages(blocks)

    def by_sections(self, old: Sequence[int], new: Sequence[int]) -> list[Block]:
        """Equal bars of sections that belong together first, then equal bars, then what is alike."""
        belongs = {b: a for a, b in self.sections}
        codes = self.new.codes
        keys_old = [codes.of((self.old.prints[bar], self.old.movement.bars[bar].section)) for bar in old]
        keys_new = [
            codes.of((self.new.prints[bar], belongs.get(self.new.movement.bars[bar].section, -1))) for bar in new
        ]
        blocks: list[Block] = []
        for part_old, part_new in self._with_gaps(old, new, in_blocks(keys_old, keys_new), blocks):
            same = in_blocks(
                [self.old.prints[bar] for bar in part_old], [self.new.prints[bar] for bar in part_new]
            )  # fmt: skip
            for rest_old, rest_new in self._with_gaps(part_old, part_new, same, blocks):
                blocks += self.alike(rest_old, rest_new)
        return blocks

    def _with_gaps(
        self, old: Sequence[int], new: Sequence[int], same: Places, blocks: list[Block]
    ) -> list[tuple[Sequence[int], Sequence[int]]]:
        """Take the pairs in; returns what lies between them on both sides."""
        gaps = []
        at_old = at_new = 0
        for i, j in [*same, (len(old), len(new))]:
            if i > at_old and j > at_new:
                gaps.append((old[at_old:i], new[at_new:j]))
            at_old, at_new = i + 1, j + 1
        blocks += [Block((old[i], old[i] + 1), (new[j], new[j] + 1)) for i, j in same]
        return gaps

    def alike(self, old: Sequence[int], new: Sequence[int]) -> list[Block]:
        """Bars none of which is the same: which are which all the same."""
        if self._only_measured_otherwise(old, new):
            return [Block((old[0], old[-1] + 1), (new[0], new[-1] + 1))]
        pairs: Places = list(zip(range(len(old)), range(len(new)), strict=False))
        side_by_side = len(old) == len(new) and (
            len(old) == 1
            or self._measured_otherwise(old, new)
            or sum(self.likeness(old[i], new[j]) for i, j in pairs) >= _STILL_THE_SAME * len(pairs)
        )
        if not side_by_side and len(old) * len(new) <= _MOST_WEIGHED:
            pairs = most_alike(len(old), len(new), lambda i, j: self.likeness(old[i], new[j]), _STILL_THE_SAME)
        return [Block((old[i], old[i] + 1), (new[j], new[j] + 1)) for i, j in pairs]

    def _measured_otherwise(self, old: Sequence[int], new: Sequence[int]) -> bool:
        """Whether most bars have another length than those beside them: the metre changed."""
        other = sum(self.old.length(a) != self.new.length(b) for a, b in zip(old, new, strict=True))
        return 2 * other >= len(old)

    def _only_measured_otherwise(self, old: Sequence[int], new: Sequence[int]) -> bool:
        """Whether most notes are the same and only the bar lines fall elsewhere."""
        if not (_is_run(old) and _is_run(new)):
            return False
        if [self.old.length(bar) for bar in old] == [self.new.length(bar) for bar in new] or len(old) + len(new) < 3:
            return False
        if {self.old.length(bar) for bar in old} == {self.new.length(bar) for bar in new}:
            return False
        a, b = _stream(self.old, old), _stream(self.new, new)
        return bool(a and b) and 2 * len(a & b) >= len(a) + len(b) - max(len(a), len(b)) // 2

    def moved_passages(self, blocks: list[Block]) -> list[Block]:
        """Stretches of bars, left over on both sides, that are the same: moved, without a section of their own."""
        found: list[Block] = []
        taken = {bar for block in blocks for bar in range(*block.old)}
        left = [bar for bar in range(len(self.old.prints)) if bar not in taken]
        taken = {bar for block in blocks for bar in range(*block.new)}
        right = [bar for bar in range(len(self.new.prints)) if bar not in taken]
        if not left or not right:
            return found
        same = in_blocks([self.old.prints[bar] for bar in left], [self.new.prints[bar] for bar in right])
        for run in _runs([(left[i], right[j]) for i, j in same]):
            notes = sum(len(row) for bar, _ in run for row in self.old.bars[bar].values())
            if notes >= _MOVED_NOTES:
                found += [Block((a, a + 1), (b, b + 1), True) for a, b in run]
        return found


def _without(read: ReadMovement, sections: set[int]) -> list[int]:
    return [bar for bar, each in enumerate(read.movement.bars) if each.section not in sections]


def _of_section(read: ReadMovement, section: int) -> list[int]:
    return [bar for bar, each in enumerate(read.movement.bars) if each.section == section]


def _is_run(bars: Sequence[int]) -> bool:
    return bars[-1] - bars[0] == len(bars) - 1


def _stream(read: ReadMovement, bars: Sequence[int]) -> set[tuple[object, int, int]]:
    begin = read.begins[bars[0]]
    return {
        (lane, note.onset - begin, note.sound)
        for bar in bars for lane, notes in read.bars[bar].items() for note in notes
    }  # fmt: skip


def _runs(pairs: Sequence[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Pairs cut into stretches that follow one another on both sides."""
    runs: list[list[tuple[int, int]]] = []
    for pair in pairs:
        if runs and (runs[-1][-1][0] + 1, runs[-1][-1][1] + 1) == pair:
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return runs
