"""Which bars of the old version are which of the new one.

In: two readings of a movement. Out: blocks of bars that belong together, what stayed in its order and what was
moved, and the bars that only one version has. Sections are laid beside each other first, by name and by what they hold;
then bars by their content, so that what was put in shifts the rest without making it different.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import groupby

from cavata.compare.align import Places, in_blocks, most_alike
from cavata.compare.moved import is_moved_as_a_whole
from cavata.compare.reading import ReadMovement, ReadNote
from cavata.record import record

# ----------------------------------------------------------------
# Which section of the old version is which of the new one, and which of them were moved.
#
# In: two readings of a movement. Out: pairs of sections; among them those that kept their order.


_OF_ONE_NAME, _RENAMED = 0.2, 0.5
"""How alike two sections are at least: of the same name, and of different ones."""

Sections = tuple[tuple[int, int], ...]


def matched_sections(old: ReadMovement, new: ReadMovement, likeness: Callable[[int, int], float]) -> Sections:
    """Pairs of sections, in the order of the new version: by their names, the others by what they hold."""
    names_old = [section.name for section in old.movement.sections]
    names_new = [section.name for section in new.movement.sections]
    if names_old == names_new and old.prints == new.prints:
        return tuple((at, at) for at in range(len(names_new)))
    bars_old, bars_new = _bars(old), _bars(new)

    def alike(a: int, b: int) -> float:
        return _alike(old, new, bars_old.get(a, []), bars_new.get(b, []), likeness)

    pairs = [
        (names_old.index(name), place)
        for place, name in enumerate(names_new) if name in names_old
    ]  # fmt: skip
    in_order = set(staying(tuple(pairs), old))
    # A section whose name went to other music did not move with its name.
    pairs = [pair for pair in pairs if pair in in_order or alike(*pair) >= _OF_ONE_NAME]
    free_old = [a for a in range(len(names_old)) if a not in {pair[0] for pair in pairs}]
    for b in (b for b in range(len(names_new)) if b not in {pair[1] for pair in pairs}):
        best = max(free_old, key=lambda a, b=b: alike(a, b), default=-1)  # type: ignore[misc]  # b is bound here
        if best >= 0 and alike(best, b) >= _RENAMED:
            free_old.remove(best)
            pairs.append((best, b))
    return tuple(sorted(pairs, key=lambda pair: pair[1]))


def _bars(read: ReadMovement) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for number, bar in enumerate(read.movement.bars):
        found.setdefault(bar.section, []).append(number)
    return found


def _alike(
    old: ReadMovement, new: ReadMovement, a: Sequence[int], b: Sequence[int], likeness: Callable[[int, int], float]
) -> float:
    """How alike two sections are: by bars that are the same wherever they stand, or bar beside bar."""
    longer = max(len(a), len(b), 1)
    same = Counter(old.prints[bar] for bar in a) & Counter(new.prints[bar] for bar in b)
    beside = sum(likeness(i, j) for i, j in zip(a, b, strict=False))
    return max(same.total(), beside) / longer


def staying(pairs: Sections, old: ReadMovement) -> Sections:
    """Of pairs in the order of the new version those that stay, so that as few bars as can be are told as moved."""
    weights = Counter(bar.section for bar in old.movement.bars)
    best: list[tuple[int, int]] = []
    """For each pair the bars of the longest chain that ends with it, and the pair before it there."""
    for place, (a, _) in enumerate(pairs):
        chains = [(best[p][0], p) for p in range(place) if pairs[p][0] < a]
        length, before = max(chains, key=lambda chain: (chain[0], -chain[1]), default=(0, -1))
        best.append((length + max(weights[a], 1), before))
    at = max(range(len(pairs)), key=lambda p: (best[p][0], -p), default=-1)
    kept = []
    while at >= 0:
        kept.append(pairs[at])
        at = best[at][1]
    return tuple(reversed(kept))


# ----------------------------------------------------------------

_MOST_WEIGHED = 40_000
"""Pairs of bars weighed against each other in one place; a longer place is laid side by side as it stands."""
_STILL_THE_SAME = 0.3
"""How alike two bars are, from 0 to 1, that are told as one bar changed."""
_CLEARLY_BETTER = 1.3
"""How much more alike bars of a section must be in another order, to be told as taken out and put in."""
_MAIN, _NEARLY_ALL = 0.6, 0.8
"""The share of notes that are the same in the main, and nearly all."""
_MOVED_NOTES = 4
"""Notes that a passage without a section of its own has at least, to be told as moved: fewer are found by chance."""


@record
class AlignedBars:
    """Bars from one to before another, in both versions; nearly always one bar in each."""

    old: tuple[int, int]
    new: tuple[int, int]
    moved: bool = False


@record
class Alignment:
    """Two versions of a movement beside each other."""

    blocks: tuple[AlignedBars, ...]
    """In the order of the new version."""
    gone: tuple[int, ...]
    """Bars that only the old version has."""
    added: tuple[int, ...]
    """Bars that only the new version has."""
    sections: tuple[tuple[int, int], ...] = ()
    """Which section is which."""

    def by_bars(self, old: ReadMovement, new: ReadMovement) -> list[AlignedBars]:
        """The blocks, those that hold as many bars in both versions bar by bar; pickups do not count."""
        found: list[AlignedBars] = []
        for block in self.blocks:
            bars_old, bars_new = old.whole_bars(*block.old), new.whole_bars(*block.new)
            if len(bars_old) != len(bars_new) or len(bars_old) == 1:
                found.append(block)
            else:
                found += [
                    AlignedBars((a, a + 1), (b, b + 1), block.moved) for a, b in zip(bars_old, bars_new, strict=True)
                ]  # fmt: skip
        return found


def aligned(old: ReadMovement, new: ReadMovement) -> Alignment:
    """Lay two versions beside each other."""
    whole = is_moved_as_a_whole(old, new)
    if whole or old.prints == new.prints:
        every = tuple(AlignedBars((at, at + 1), (at, at + 1)) for at in range(len(new.prints)))
        same = whole and len(old.movement.sections) == len(new.movement.sections)
        if same:
            return Alignment(every, (), (), tuple((at, at) for at in range(len(new.movement.sections))))
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


def _traits(lane: int, begin: int, notes: Sequence[ReadNote]) -> Iterable[int]:
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

    def blocks(self) -> list[AlignedBars]:
        """All that belongs together."""
        stays = staying(self.sections, self.old)
        moved = [pair for pair in self.sections if pair not in stays]
        chain_old = _without(self.old, {a for a, _ in moved})
        chain_new = _without(self.new, {b for _, b in moved})
        blocks = self.by_sections(chain_old, chain_new)
        for a, b in moved:
            inside = self.by_sections(_of_section(self.old, a), _of_section(self.new, b))
            blocks += [AlignedBars(block.old, block.new, True) for block in inside]
        blocks += self.moved_passages(blocks)
        for a, b in stays:
            old, new = _of_section(self.old, a), _of_section(self.new, b)
            if old and new and self.old.pickup(a) != self.new.pickup(b):
                blocks = [*_outside(blocks, old, new), _as_one(old, new)]
            else:
                blocks = self.only_later(blocks, old, new)
        return blocks

    def only_later(self, blocks: list[AlignedBars], old: list[int], new: list[int]) -> list[AlignedBars]:
        """Where a section has silent bars too many at one place and too few at another, its notes are later or earlier:
        no bars were put in, and all stand side by side."""
        paired_old = {bar for block in blocks for bar in range(*block.old)}
        paired_new = {bar for block in blocks for bar in range(*block.new)}
        left_old = [bar for bar in old if bar not in paired_old]
        left_new = [bar for bar in new if bar not in paired_new]
        silent = not any(self.old.parts[bar] for bar in left_old) and not any(self.new.parts[bar] for bar in left_new)
        if not left_old or len(old) != len(new) or not silent:
            return blocks
        return _outside(blocks, old, new) + _blocks(old, new, [(at, at) for at in range(len(old))])

    def by_sections(self, old: Sequence[int], new: Sequence[int]) -> list[AlignedBars]:
        """Equal bars of sections that belong together first, then equal bars, then what is alike."""
        belongs = {b: a for a, b in self.sections}
        keys_old = [self._key(self.old, bar, self.old.movement.bars[bar].section) for bar in old]
        keys_new = [self._key(self.new, bar, belongs.get(self._section(bar), -1)) for bar in new]
        blocks: list[AlignedBars] = []
        for part_old, part_new in self._with_gaps(old, new, in_blocks(keys_old, keys_new), blocks):
            same = in_blocks(
                [self._key(self.old, bar, 0) for bar in part_old], [self._key(self.new, bar, 0) for bar in part_new]
            )  # fmt: skip
            for rest_old, rest_new in self._with_gaps(part_old, part_new, same, blocks):
                blocks += self.alike(rest_old, rest_new)
        return blocks

    def _key(self, read: ReadMovement, bar: int, section: int) -> int:
        """The code of a bar's content in its section. A silent bar is like no other: it would hold together what is
        not the same."""
        if read.parts[bar]:
            return self.new.codes.of((read.prints[bar], section))
        return self.new.codes.of(("silent", read is self.old, bar))

    def _with_gaps(
        self, old: Sequence[int], new: Sequence[int], same: Places, blocks: list[AlignedBars]
    ) -> list[tuple[Sequence[int], Sequence[int]]]:
        """Take the pairs in; returns what lies between them on both sides."""
        gaps = []
        at_old = at_new = 0
        for i, j in [*same, (len(old), len(new))]:
            if i > at_old and j > at_new:
                gaps.append((old[at_old:i], new[at_new:j]))
            at_old, at_new = i + 1, j + 1
        blocks += [AlignedBars((old[i], old[i] + 1), (new[j], new[j] + 1)) for i, j in same]
        return gaps

    def alike(self, old: Sequence[int], new: Sequence[int]) -> list[AlignedBars]:
        """Bars none of which is the same: which are which all the same, section by section."""
        blocks: list[AlignedBars] = []
        belongs = dict(self.sections)
        at = 0
        left: list[int] = []
        for section, bars in groupby(old, key=lambda bar: self.old.movement.bars[bar].section):
            theirs = [place for place in range(at, len(new)) if self._section(new[place]) == belongs.get(section, -1)]
            if not theirs:
                left += bars
                continue
            blocks += self._pairs(left, new[at : theirs[0]], False)
            blocks += self._pairs(list(bars), new[theirs[0] : theirs[-1] + 1], True)
            left, at = [], theirs[-1] + 1
        return blocks + self._pairs(left, new[at:], False)

    def _section(self, bar: int) -> int:
        return self.new.movement.bars[bar].section

    def _pairs(self, old: Sequence[int], new: Sequence[int], same_section: bool) -> list[AlignedBars]:
        """Pairs of bars of a stretch; where as many bars stand on both sides of one section they belong together."""
        if not old or not new:
            return []
        if self._only_measured_otherwise(old, new):
            return [_as_one(old, new)]
        pairs: Places = list(zip(range(len(old)), range(len(new)), strict=False))
        beside = sum(self.likeness(old[i], new[j]) for i, j in pairs)
        if len(old) == len(new) and (len(old) == 1 or self._measured_otherwise(old, new)):
            return _blocks(old, new, pairs)
        if len(old) * len(new) > _MOST_WEIGHED:
            as_one = len(old) != len(new) and self._same_notes(old, new)
            return [_as_one(old, new)] if as_one else _blocks(old, new, pairs)
        better = most_alike(len(old), len(new), lambda i, j: self.likeness(old[i], new[j]), _STILL_THE_SAME)
        if len(old) == len(new):
            most = sum(self.likeness(old[i], new[j]) for i, j in better)
            enough = most <= _CLEARLY_BETTER * beside + 0.5 if same_section else beside >= _STILL_THE_SAME * len(old)
            if enough:
                return _blocks(old, new, pairs)
        elif self._shifted(old, new, better):
            return [_as_one(old, new)]
        return _blocks(old, new, better) + self._between(old, new, better)

    def _shifted(self, old: Sequence[int], new: Sequence[int], pairs: Places) -> bool:
        """Whether no bars were put in, but notes earlier or later took the rest along: nearly all are the same, and
        yet no bar is like another."""
        alike = sum(self.likeness(old[i], new[j]) for i, j in pairs)
        return alike < _MAIN * min(len(old), len(new)) and self._same_notes(old, new, _NEARLY_ALL)

    def _between(self, old: Sequence[int], new: Sequence[int], pairs: Places) -> list[AlignedBars]:
        """What is left between pairs on both sides: as many bars, or bars whose notes are the same in the main."""
        blocks: list[AlignedBars] = []
        i = j = 0
        for a, b in [*pairs, (len(old), len(new))]:
            rest_old, rest_new = old[i:a], new[j:b]
            if rest_old and rest_new and self._same_notes(rest_old, rest_new):
                blocks.append(_as_one(rest_old, rest_new))
            i, j = a + 1, b + 1
        return blocks

    def _same_notes(self, old: Sequence[int], new: Sequence[int], share: float = _MAIN) -> bool:
        if not (_is_run(old) and _is_run(new)):
            return False
        a, b = _sounds(self.old, old), _sounds(self.new, new)
        return a.total() > 0 and (a & b).total() >= share * max(a.total(), b.total())

    def _measured_otherwise(self, old: Sequence[int], new: Sequence[int]) -> bool:
        """Whether most bars have another length than those beside them: the meter changed."""
        other = sum(self.old.length(a) != self.new.length(b) for a, b in zip(old, new, strict=True))
        return 2 * other >= len(old)

    def _only_measured_otherwise(self, old: Sequence[int], new: Sequence[int]) -> bool:
        """Whether most notes are the same and only the bar lines fall elsewhere."""
        if len(old) == len(new) or not (_is_run(old) and _is_run(new)):
            return False
        if {self.old.length(bar) for bar in old} & {self.new.length(bar) for bar in new}:
            return False
        return self._same_notes(old, new)

    def moved_passages(self, blocks: list[AlignedBars]) -> list[AlignedBars]:
        """Stretches of bars, left over on both sides, that are the same: moved, without a section of their own."""
        found: list[AlignedBars] = []
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
                found += [AlignedBars((a, a + 1), (b, b + 1), True) for a, b in run]
        return found


def _without(read: ReadMovement, sections: set[int]) -> list[int]:
    return [bar for bar, each in enumerate(read.movement.bars) if each.section not in sections]


def _of_section(read: ReadMovement, section: int) -> list[int]:
    return [bar for bar, each in enumerate(read.movement.bars) if each.section == section]


def _is_run(bars: Sequence[int]) -> bool:
    return bars[-1] - bars[0] == len(bars) - 1


def _sounds(read: ReadMovement, bars: Sequence[int]) -> Counter[tuple[object, int]]:
    return Counter((lane, note.sound) for bar in bars for lane, notes in read.bars[bar].items() for note in notes)


def _outside(blocks: Sequence[AlignedBars], old: Sequence[int], new: Sequence[int]) -> list[AlignedBars]:
    """The blocks that begin in none of these bars."""
    return [block for block in blocks if block.old[0] not in old and block.new[0] not in new]


def _as_one(old: Sequence[int], new: Sequence[int]) -> AlignedBars:
    return AlignedBars((old[0], old[-1] + 1), (new[0], new[-1] + 1))


def _blocks(old: Sequence[int], new: Sequence[int], pairs: Places) -> list[AlignedBars]:
    return [AlignedBars((old[i], old[i] + 1), (new[j], new[j] + 1)) for i, j in pairs]


def _runs(pairs: Sequence[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Pairs cut into stretches that follow one another on both sides."""
    runs: list[list[tuple[int, int]]] = []
    for pair in pairs:
        if runs and (runs[-1][-1][0] + 1, runs[-1][-1][1] + 1) == pair:
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return runs
