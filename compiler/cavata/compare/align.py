"""Two sequences laid beside each other: which elements of one are which of the other.

In: sequences of whole numbers that stand for contents. Out: pairs of places, rising in both.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import SequenceMatcher
from itertools import groupby
from typing import TypeVar

Places = list[tuple[int, int]]
_Item = TypeVar("_Item")
_Key = TypeVar("_Key")


def alike_runs(items: Sequence[_Item], key: Callable[[_Item], _Key]) -> list[tuple[_Key, list[_Item]]]:
    """Stretches of neighbors with the same key, each with it."""
    return [(value, list(run)) for value, run in groupby(items, key)]


def same_ends(old: Sequence[int], new: Sequence[int]) -> tuple[int, int]:
    """How many elements are the same at the beginning, and of the others how many at the end."""
    most = min(len(old), len(new))
    front = 0
    while front < most and old[front] == new[front]:
        front += 1
    back = 0
    while back < most - front and old[-1 - back] == new[-1 - back]:
        back += 1
    return front, back


def in_blocks(old: Sequence[int], new: Sequence[int]) -> Places:
    """Equal elements, the longest stretches first, as a reader would lay two versions side by side."""
    front, back = same_ends(old, new)
    pairs = [(at, at) for at in range(front)]
    middle_old, middle_new = old[front : len(old) - back], new[front : len(new) - back]
    if middle_old and middle_new:
        for block in SequenceMatcher(None, middle_old, middle_new, autojunk=False).get_matching_blocks():
            pairs += [(front + block.a + at, front + block.b + at) for at in range(block.size)]
    return pairs + [(len(old) - at, len(new) - at) for at in range(back, 0, -1)]


def shortest(old: Sequence[int], new: Sequence[int], most: int) -> Places | None:
    """Equal elements, so that as few as can be are left over; None if more than `most` would be.

    Source: E. W. Myers, An O(ND) difference algorithm and its variations, Algorithmica 1, 1986.
    """
    front, back = same_ends(old, new)
    a, b = old[front : len(old) - back], new[front : len(new) - back]
    edges = _edges(a, b, most)
    if edges is None:
        return None
    inner: Places = []
    x, y = len(a), len(b)
    for step in range(len(edges) - 1, -1, -1):
        reached, k = edges[step], x - y
        down = k == -step or (k != step and reached.get(k - 1, -1) < reached.get(k + 1, -1))
        before = k + 1 if down else k - 1
        from_x = reached.get(before, 0) if step else 0
        from_y = from_x - before if step else 0
        while x > from_x and y > from_y:
            x, y = x - 1, y - 1
            inner.append((front + x, front + y))
        x, y = from_x, from_y
    head, tail = len(old) - back, len(new) - back
    return [(at, at) for at in range(front)] + inner[::-1] + [(head + at, tail + at) for at in range(back)]


def _edges(a: Sequence[int], b: Sequence[int], most: int) -> list[dict[int, int]] | None:
    """For each number of elements left over, how far each diagonal was reached before it."""
    reached = {1: 0}
    trace: list[dict[int, int]] = []
    for step in range(most + 1):
        trace.append(dict(reached))
        for k in range(-step, step + 1, 2):
            down = k == -step or (k != step and reached.get(k - 1, -1) < reached.get(k + 1, -1))
            x = reached.get(k + 1, 0) if down else reached.get(k - 1, -1) + 1
            y = x - k
            while x < len(a) and y < len(b) and a[x] == b[y]:
                x, y = x + 1, y + 1
            reached[k] = x
            if x >= len(a) and y >= len(b):
                return trace
    return None


def as_early_as_can_be(old: Sequence[int], new: Sequence[int], pairs: Places) -> Places:
    """The same number of pairs, each element with the first that it can be paired with."""
    moved: Places = []
    i = j = 0
    for a, b in pairs:
        while old[i] != old[a]:
            i += 1
        while new[j] != new[b]:
            j += 1
        moved.append((i, j))
        i, j = i + 1, j + 1
    return moved


def as_late_as_can_be(old: Sequence[int], new: Sequence[int], pairs: Places) -> Places:
    """The same number of pairs, each element with the last that it can be paired with."""
    turned = [(len(old) - 1 - a, len(new) - 1 - b) for a, b in reversed(pairs)]
    moved = as_early_as_can_be(old[::-1], new[::-1], turned)
    return [(len(old) - 1 - a, len(new) - 1 - b) for a, b in reversed(moved)]


def most_alike(old: int, new: int, alike: Callable[[int, int], float], least: float) -> Places:
    """Of so many elements on either side the pairs that are most alike on the whole, none less alike than `least`."""
    best = [[0.0] * (new + 1) for _ in range(old + 1)]
    kept = [[0.0] * new for _ in range(old)]
    for i in range(old - 1, -1, -1):
        row, below = best[i], best[i + 1]
        for j in range(new - 1, -1, -1):
            likeness = alike(i, j)
            kept[i][j] = likeness
            together = likeness + below[j + 1] if likeness >= least else -1.0
            row[j] = max(together, below[j], row[j + 1])
    pairs: Places = []
    i = j = 0
    while i < old and j < new:
        likeness = kept[i][j]
        if likeness >= least and best[i][j] == likeness + best[i + 1][j + 1]:
            pairs.append((i, j))
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            i += 1
        else:
            j += 1
    return pairs
