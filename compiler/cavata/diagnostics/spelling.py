"""The words a mistyped word may have been meant for.

In: one word and the known ones. Out: the nearest, best first, the same for the same words
whatever order they came in.
"""

from __future__ import annotations

from collections.abc import Iterable


def closest(word: str, known: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The known words within a third of the word's length, nearest first, ties in the alphabet's order.

    Capitals do not count; a letter left out, put in or exchanged counts one, and so do two
    neighbours that changed places (Damerau's four kinds of slip, Communications of the ACM 7/3, 1964).
    """
    folded = word.casefold()
    allowed = len(word) // 3
    near = []
    for candidate in set(known):
        distance = edit_distance(folded, candidate.casefold(), allowed)
        if distance <= allowed and candidate != word:
            near.append((distance, candidate))
    return tuple(candidate for _, candidate in sorted(near)[:limit])


def edit_distance(one: str, other: str, allowed: int) -> int:
    """How many slips lead from one word to the other; any number above `allowed` means too many."""
    if abs(len(one) - len(other)) > allowed:
        return allowed + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one):
        following = [i + 1]
        for j, target in enumerate(other):
            cost = min(row[j + 1] + 1, following[j] + 1, row[j] + (letter != target))
            if i and j and letter == other[j - 1] and one[i - 1] == target:
                cost = min(cost, before[j - 1] + 1)
            following.append(cost)
        if min(following) > allowed and min(row) > allowed:
            return allowed + 1
        before, row = row, following
    return row[-1]
