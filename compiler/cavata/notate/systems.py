"""What both hands of one player are told, told once.

In: the staves of a part. Out: the same staves; where there are two, the lower one is without the dynamics, hairpins and
words that the upper one has at the same moment: they stand between the staves and are read for both. Source: common
practice. What sounds is not looked at here: each hand keeps its dynamic in the score.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from cavata.place.voices import said_once
from cavata.record import replace
from cavata.score.score import CopyKind, Group, GroupSign, Movement, Part, Score, Staff

# ----------------------------------------------------------------
# Which staves are left out of a system in which they are silent.
#
# In: a score and one of its movements. Out: for each part whether it may be left out from the second system of the
# movement on. Only full scores of many staves do so; the first system shows everybody, and a soloist always stays, as
# every staff does where the piece says `show every staff`. Source: common practice.


MANY_STAVES = 10
LONGEST_SILENCE = 3
"""Where everybody is silent for more bars than this, a system might have no staff left."""


def hidden_when_silent(score: Score, movement: Movement) -> tuple[bool, ...]:
    """For each part of the score whether its staves may be left out."""
    header = score.header
    staves = sum(len(part.instrument.staves) for part in score.parts)
    hides = header.kind is CopyKind.SCORE and not header.every_staff and staves >= MANY_STAVES
    hides = hides and _longest_silence(movement) <= LONGEST_SILENCE
    return tuple(hides and not part.soloist for part in score.parts)


def _longest_silence(movement: Movement) -> int:
    """The most bars in a row in which nobody plays."""
    sounding = sorted((event.onset, event.end) for event in movement.events if event.event.heads)
    silent = longest = place = 0
    reached = movement.bars[0].onset if movement.bars else 0
    for bar in movement.bars:
        end = bar.onset + bar.duration
        while place < len(sounding) and sounding[place][0] < end:
            reached = max(reached, sounding[place][1])
            place += 1
        silent = 0 if reached > bar.onset else silent + 1
        longest = max(longest, silent)
    return longest


# ----------------------------------------------------------------
# Which brackets are drawn before the staves of a system.
#
# In: its parts from the top, and the groups of the piece. Out: a tree of brackets. Holds after: a bracket
# spans neighbours only, two at least, and no soloist; it stands inside another or beside it, and never across its end.


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


# ----------------------------------------------------------------

def told_once(staves: Sequence[Staff]) -> tuple[Staff, ...]:
    """The staves of one player, as they are written."""
    if len(staves) != 2:
        return tuple(staves)
    upper, lower = staves
    above = sorted((event for voice in upper.voices for event in voice), key=lambda event: (event.onset, -event.voice))
    if not above:
        return upper, lower
    return upper, replace(lower, voices=tuple(said_once(above, voice) for voice in lower.voices))
