"""Beams: which short notes hang together, and how far each level of the beam reaches.

In: the leaves of a bar in order, each with its place and note value. Out: for each its beam levels,
outermost first. A beam lies within a beat, or within a stretch of nothing but eighths (half of 4/4, a whole bar
of 3/4 or 2/4); a rest or a longer note ends it; a lone note keeps its flag. A beam takes in the whole of a tuplet, or
lies inside it, or beside it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.notate.written import Beam, flags
from cavata.record import record

EIGHTH = Fraction(1, 8)


@record
class Stem:
    """What beaming needs to know of a leaf."""

    start: int
    end: int
    base: Fraction
    dots: int
    sounding: bool
    cell: object
    """Leaves of equal cells may share a beam."""

    @property
    def flags(self) -> int:
        """How many beams it asks for; none for a rest."""
        return flags(self.base) if self.sounding else 0

    @property
    def plain_eighth(self) -> bool:
        """Whether it is an undotted eighth note."""
        return self.sounding and self.base == EIGHTH and self.dots == 0


def beams(stems: Sequence[Stem], tuplets: Sequence[tuple[int, int]] = ()) -> list[tuple[Beam, ...]]:
    """The beams of each leaf of a bar; `tuplets` are the first and last leaf of each, the outer before the inner."""
    result: list[tuple[Beam, ...]] = [()] * len(stems)
    first = 0
    while first < len(stems):
        last = first
        if stems[first].flags:
            while last + 1 < len(stems) and stems[last + 1].flags and stems[last + 1].cell == stems[first].cell:
                last += 1
        for begin, end in _apart(first, last, tuplets):
            group = stems[begin : end + 1]
            for offset in range(len(group)) if end > begin else ():
                result[begin + offset] = _levels(group, offset)
        first = last + 1
    return result


def _apart(first: int, last: int, tuplets: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """A group as one, or divided at the edge of a tuplet of which it would take in a part and what lies beside it."""
    for begin, end in tuplets:
        if first < begin <= last < end:
            yield from _apart(first, begin - 1, tuplets)
            yield from _apart(begin, last, tuplets)
            return
        if begin < first <= end < last:
            yield from _apart(first, end, tuplets)
            yield from _apart(end + 1, last, tuplets)
            return
    yield first, last


def _levels(group: Sequence[Stem], index: int) -> tuple[Beam, ...]:
    return tuple(_part(group, index, level) for level in range(1, group[index].flags + 1))


def _part(group: Sequence[Stem], index: int, level: int) -> Beam:
    before = index > 0 and group[index - 1].flags >= level
    after = index + 1 < len(group) and group[index + 1].flags >= level
    if before:
        return Beam.CONTINUE if after else Beam.END
    if after:
        return Beam.BEGIN
    return _hook(group, index)


def _hook(group: Sequence[Stem], index: int) -> Beam:
    """A lone short note's hook points into the pair it belongs to: back after a dotted note, else by its place."""
    if index == 0:
        return Beam.HOOK_FORWARD
    if index + 1 == len(group) or group[index - 1].dots:
        return Beam.HOOK_BACKWARD
    length = group[index].end - group[index].start
    return Beam.HOOK_BACKWARD if (group[index].start // length) % 2 else Beam.HOOK_FORWARD


def free_cells(stems: Sequence[Stem], quarter: int) -> list[int]:
    """Cells for free time: a quarter's worth of short notes at a time, reckoned from the last long note or rest.

    A single note left over at the end joins the group before it, which then has a dotted quarter's worth.
    """
    cells = [0] * len(stems)
    cell, filled, size = 0, 0, 0
    for index, stem in enumerate(stems):
        if not stem.flags:
            cell, filled, size = cell + 1, 0, 0
        elif filled >= quarter:
            alone = index + 1 == len(stems) or not stems[index + 1].flags
            if alone and size > 1 and filled == quarter:
                cells[index] = cell
                continue
            cell, filled, size = cell + 1, 0, 0
        cells[index] = cell
        if stem.flags:
            filled, size = filled + stem.end - stem.start, size + 1
    return cells
