"""The octave for each item of a part, so that an instrument reaches it.

In: a part's items as they sound, in order, and the bands of the instrument's range. Out: for each item by how many
octaves it moves. Range comes first, in the three degrees in which players are warned: notes that nobody reaches, notes
beyond the usual range, and an item of which a third lies outside the comfortable range. Of the octaves that are best
for an item by these, those are taken that cost least in all:

    1   for each octave by which an item moves
    2   for each octave by which two neighbors move apart
    3   where the step from one to the next then leads the other way

The weights are a choice of ours. The sum is over a chain, so the best of all choices is found item by item.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.place.ranges import SHARE, Reach
from cavata.record import record

OCTAVE = 12
MOVED, APART, TURNED = 1, 2, 3
FARTHEST = 3
"""Octaves up or down that are tried."""

Rank = tuple[int, int, int]
"""Notes that nobody reaches, notes beyond the usual range, and 1 if much is uncomfortable."""


@record
class SoundingItem:
    """An item as it sounds: the lowest and the highest key of each note or chord, wherever it is heard."""

    keys: tuple[tuple[int, int], ...]
    first: int
    """The highest key of its first note, where it is first heard."""
    last: int
    movable: bool = True
    """The item is this part's own, and stands in a file that may be changed."""
    begins: bool = False
    """Another staff or movement begins with it: it has no neighbor before it."""


def rank(item: SoundingItem, octaves: int, reach: Reach) -> Rank:
    """How an item lies on an instrument when it is moved; smaller is better."""
    moved = [(low + OCTAVE * octaves, high + OCTAVE * octaves) for low, high in item.keys]

    def outside(band: tuple[int, int]) -> int:
        return sum(1 for low, high in moved if low < band[0] or high > band[1])

    extreme, usual, easy = (
        (low.midi, high.midi) for low, high in (reach.extreme, reach.usual, reach.easy)
    )
    return outside(extreme), outside(usual), int(outside(easy) * SHARE >= len(moved))


def choices(item: SoundingItem, reach: Reach) -> tuple[int, ...]:
    """The octaves that are best for an item by its range."""
    if not item.movable:
        return (0,)
    ranks = {octaves: rank(item, octaves, reach) for octaves in range(-FARTHEST, FARTHEST + 1)}
    best = min(ranks.values())
    return tuple(octaves for octaves, found in ranks.items() if found == best)


def step_cost(before: SoundingItem | None, at: int, item: SoundingItem, octaves: int) -> int:
    """What it costs to move an item, after a neighbor that moved by `at` octaves."""
    cost = MOVED * abs(octaves)
    if before is None or item.begins:
        return cost
    was = item.first - before.last
    now = was + OCTAVE * (octaves - at)
    return cost + APART * abs(octaves - at) + TURNED * (_sign(was) != _sign(now))


def _sign(number: int) -> int:
    return (number > 0) - (number < 0)


def octaves_for(items: Sequence[SoundingItem], reach: Reach) -> tuple[int, ...]:
    """By how many octaves each item moves; of equal choices the one that moves the earlier items least, then down."""
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    before: SoundingItem | None = None
    for item in items:
        found: dict[int, tuple[int, tuple[int, ...]]] = {}
        for octaves in choices(item, reach):
            found[octaves] = min(
                ((cost + step_cost(before, at, item, octaves), (*path, octaves)) for at, (cost, path) in best.items()),
                key=_preferred,
            )
        best, before = found, item
    return min(best.values(), key=_preferred)[1]


def _preferred(choice: tuple[int, tuple[int, ...]]) -> tuple[object, ...]:
    cost, path = choice
    return cost, tuple((abs(octaves), octaves) for octaves in path)
