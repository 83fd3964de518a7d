"""Which brackets are drawn before the staves of a system.

In: its parts from the top, and the groups of the piece. Out: a tree of brackets. Holds after: a bracket
spans neighbours only, two at least, and no soloist; it stands inside another or beside it, and never across its end.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from cavata.score.score import Group, GroupSign, Part

Node = int | tuple[Group, "tuple[Node, ...]"]
"""A part by its place, or a group with what stands under its bracket."""


def tree(parts: Sequence[Part], groups: Sequence[Group]) -> tuple[Node, ...]:
    """The parts of a system under their brackets; of two groups that overlap the larger one is drawn.

    Of the composer's groups only the largest is drawn, for they are also names to write with.
    """
    runs = [(first, end, group) for group in groups for first, end in _runs(group, parts)]
    runs.sort(key=lambda run: (run[2].sign is not GroupSign.BRACKET, run[0] - run[1]))
    kept: list[tuple[int, int, Group]] = []
    for first, end, group in runs:
        around = [(a, b) for a, b, other in kept if a < end and first < b]
        inside = group.sign is not GroupSign.BRACKET and all(a <= first and end <= b for a, b in around)
        if not around or (inside and ((first, end) not in around or group.sign is GroupSign.BRACE)):
            kept.append((first, end, group))
    return _nodes(0, len(parts), sorted(kept, key=lambda run: (run[0], -run[1])))


def _runs(group: Group, parts: Sequence[Part]) -> list[tuple[int, int]]:
    """The stretches of neighbours of a group, the second number after its last; a part alone has no bracket."""
    inside = [part.name in group.parts and not part.soloist for part in parts]
    edges = [place for place, (before, here) in enumerate(pairwise([False, *inside, False])) if before != here]
    return [(first, end) for first, end in zip(edges[::2], edges[1::2], strict=True) if end - first > 1]


def _nodes(first: int, end: int, runs: Sequence[tuple[int, int, Group]]) -> tuple[Node, ...]:
    nodes: list[Node] = []
    place = first
    while place < end:
        run = next((run for run in runs if run[0] == place and run[1] <= end), None)
        if run is None:
            nodes.append(place)
            place += 1
        else:
            rest = [other for other in runs if other is not run]
            nodes.append((run[2], _nodes(run[0], run[1], rest)))
            place = run[1]
    return tuple(nodes)
