"""Where a line may break inside free time, which has no bar lines.

In: the frames of a movement and what its parts play in them. Out: for each frame in free time the offsets at which
every part begins something new and no beam or tie is under way.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.notate.written import Beam, Item, WrittenMovement, leaves, length_of

_NEAREST = Fraction(1, 2)
"""Breaks closer than this, in whole notes, are of no use to anyone."""


def free_breaks(movement: WrittenMovement) -> tuple[tuple[Fraction, ...], ...]:
    """For each frame the offsets inside it at which a line may break; none in measured time."""
    return tuple(
        _frame_breaks(movement, index, frame.duration) if frame.meter is None else ()
        for index, frame in enumerate(movement.frames)
    )


def _frame_breaks(movement: WrittenMovement, index: int, duration: Fraction) -> tuple[Fraction, ...]:
    common: set[Fraction] | None = None
    for part in movement.parts:
        for staff in part.staves:
            for voice in staff.bars[index].voices:
                if voice and not _rests_throughout(voice):
                    moments = _resting_points(voice)
                    common = moments if common is None else common & moments
    chosen: list[Fraction] = []
    for moment in sorted(common or ()):
        if moment - (chosen[-1] if chosen else 0) >= _NEAREST and duration - moment >= _NEAREST:
            chosen.append(moment)
    return tuple(chosen)


def _rests_throughout(voice: tuple[Item, ...]) -> bool:
    return all(leaf.whole_bar for leaf in leaves(voice))


def _resting_points(voice: tuple[Item, ...]) -> set[Fraction]:
    """The ends of items at which no beam goes on and no tie."""
    points = set()
    now = Fraction(0)
    for item in voice:
        now += length_of(item)
        last = list(leaves((item,)))[-1]
        beamed = last.beams and last.beams[0] in (Beam.BEGIN, Beam.CONTINUE)
        if not beamed and not any(head.tie_begins for head in last.heads):
            points.add(now)
    return points
