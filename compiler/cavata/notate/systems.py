"""The systems of a movement: which parts and staves stand in them, under which brackets, and where free time may break.

In: a movement as it is written, or its parts from the top with the groups of the piece. Out: the movement with what
is shown said of each part and staff; a tree of brackets; moments inside bars. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.notate.written import Accidental, Beam, Item, Leaf, WrittenMovement, leaves, length_of
from cavata.record import replace
from cavata.score.score import CopyKind, Group, GroupSign, Header, Part

Node = int | tuple[Group, "tuple[Node, ...]"]
"""A part by its place, or a group with what stands under its bracket."""

MANY_STAVES = 10
"""A full score of so many staves leaves out those that are silent through a whole system."""
LONGEST_SILENCE = 3
"""Where everybody is silent for more bars than this, a system might have no staff left."""
_FULL_LINE = 40
"""So many notes of one voice stand on a line of a part, if each is by itself."""
_HAIRPIN, _GLIDE, _SIGN = 4, 3, Fraction(1, 2)
"""What a hairpin with the letters at its ends, a glissando, an accidental take beside a note, in notes."""
_NEAREST, _CROWDED = Fraction(1, 2), Fraction(1, 8)
"""Breaks closer than this, in whole notes, are of no use to anyone; in a bar too full for a line they are closer."""


def with_systems(movement: WrittenMovement, header: Header, opens: bool) -> WrittenMovement:
    """The movement with what its systems show.

    The movement that opens the copy has every part; a later one is without those that never play in it, unless none
    does. From its second system on a full score of many staves leaves out what is silent there, and any copy a part
    that never plays in the movement; a soloist stays there. Where the piece says `show every staff`, nothing is left
    out anywhere.
    """
    may_hide = not header.every_staff
    some_play = not all(part.silent for part in movement.parts)
    staves = sum(len(part.staves) for part in movement.parts)
    many = header.kind is CopyKind.SCORE and staves >= MANY_STAVES and _longest_silence(movement) <= LONGEST_SILENCE
    parts = []
    for part in movement.parts:
        idle = may_hide and some_play and part.silent
        hides = not part.part.soloist and (idle or (may_hide and many))
        staves_shown = tuple(replace(staff, hides=hides) for staff in part.staves)
        parts.append(replace(part, staves=staves_shown, printed=opens or not idle))
    return replace(movement, parts=tuple(parts))


def _longest_silence(movement: WrittenMovement) -> int:
    """The most bars in a row in which nobody plays."""
    silent = longest = 0
    for place in range(len(movement.frames)):
        bars = (staff.bars[place] for part in movement.parts for staff in part.staves)
        plays = any(leaf.heads for bar in bars for voice in bar.voices for leaf in leaves(voice))
        silent = 0 if plays else silent + 1
        longest = max(longest, silent)
    return longest


def line_breaks(movement: WrittenMovement) -> tuple[tuple[Fraction, ...], ...]:
    """For each frame the offsets inside it at which a line may break; none in measured time, but for bars that would
    not fit on a line.

    At such a moment every part begins something new, and no beam is under way; nor a tie, but in such bars.
    """
    return tuple(
        _frame_breaks(movement, index, frame.duration, _NEAREST, False) if frame.meter is None
        else _frame_breaks(movement, index, frame.duration, _CROWDED, True) if _is_crowded(movement, index) else ()
        for index, frame in enumerate(movement.frames)
    )


def _is_crowded(movement: WrittenMovement, index: int) -> bool:
    """Whether some staff has more in a bar than surely stands on one line."""
    return any(
        sum(map(_room, leaves(voice))) > _FULL_LINE
        for part in movement.printed for staff in part.staves for voice in staff.bars[index].voices
    )  # fmt: skip


def _room(leaf: Leaf) -> Fraction:
    """What a leaf takes of a line, measured in notes."""
    signs = sum(head.accidental is not Accidental.NONE for head in leaf.heads)
    return 1 + _HAIRPIN * bool(leaf.marks.hairpin) + _GLIDE * leaf.marks.glides + _SIGN * signs


def _frame_breaks(
    movement: WrittenMovement, index: int, duration: Fraction, nearest: Fraction, tied: bool
) -> tuple[Fraction, ...]:
    common: set[Fraction] | None = None
    for part in movement.printed:
        for staff in part.staves:
            for voice in staff.bars[index].voices:
                if voice and not _rests_throughout(voice):
                    moments = _resting_points(voice, tied)
                    common = moments if common is None else common & moments
    chosen: list[Fraction] = []
    for moment in sorted(common or ()):
        if moment - (chosen[-1] if chosen else 0) >= nearest and duration - moment >= nearest:
            chosen.append(moment)
    return tuple(chosen)


def _rests_throughout(voice: tuple[Item, ...]) -> bool:
    return all(leaf.whole_bar for leaf in leaves(voice))


def _resting_points(voice: tuple[Item, ...], tied: bool) -> set[Fraction]:
    """The ends of items at which no beam goes on, and no tie unless these are let through."""
    points = set()
    now = Fraction(0)
    for item in voice:
        now += length_of(item)
        last = list(leaves((item,)))[-1]
        beamed = last.beams and last.beams[0] in (Beam.BEGIN, Beam.CONTINUE)
        if not beamed and (tied or not any(head.tie_begins for head in last.heads)):
            points.add(now)
    return points


def tree(parts: Sequence[Part], groups: Sequence[Group]) -> tuple[Node, ...]:
    """The parts of a system under their brackets; of two groups that overlap the larger one is drawn.

    A bracket spans neighbors only, two at least, and no soloist; it stands inside another or beside it, and never
    across its end. Of the composer's groups only the largest is drawn, for they are also names to write with.
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
    """The stretches of neighbors of a group, the second number after its last; a part alone has no bracket."""
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
