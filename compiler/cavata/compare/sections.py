"""Which section of the old version is which of the new one, and which of them were moved.

In: two readings of a movement. Out: pairs of sections; among them those that kept their order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from cavata.compare.reading import ReadMovement

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
