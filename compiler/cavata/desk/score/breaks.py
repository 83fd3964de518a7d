"""Where systems break, and how wide bars are.

In: written bars, and where systems began before. Out: the frames with which systems begin. Widths are judged by the
music alone, coarsely, so that the same music breaks alike everywhere. Holds after: no system begins within a rest of
several bars.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.notate.written import Accidental, Leaf, WrittenBar, timed_leaves

_TOO_FULL, _TOO_EMPTY = 1.3, 0.45
"""A system whose breaks were kept is divided above, and joined to the next one below this share of its room."""


def broken(
    widths: Sequence[float], may_begin: Sequence[bool], kept: Sequence[bool | None], room: float
) -> tuple[int, ...]:
    """The frames with which systems begin, of frames of these widths; `kept` says which began one before, and None of
    those that were not there.

    Of new frames each system is as full as it can be. Of others a system goes on to where the next one began, unless it
    has become much too full, when it is divided evenly, or so empty that it goes together with the next one.
    """
    if not widths:
        return ()
    starts, filled, share = [0], widths[0], _share(widths, kept, 0, room)
    for place in range(1, len(widths)):
        wider = filled + widths[place]
        if kept[place]:
            following = sum(_until_next(widths, kept, place))
            begins = not (filled < _TOO_EMPTY * room and filled + following <= room)
        else:
            begins = wider > room * (1 if kept[place] is None else _TOO_FULL) or wider - widths[place] / 2 > share
        if begins and may_begin[place]:
            starts.append(place)
            filled = widths[place]
            share = _share(widths, kept, place, room) if kept[place] else share
        else:
            filled = wider
    return tuple(starts)


def _share(widths: Sequence[float], kept: Sequence[bool | None], place: int, room: float) -> float:
    """How much a system has that begins at a place, if what stood there in one has become much too full for one."""
    whole = sum(_until_next(widths, kept, place))
    return whole / math.ceil(whole / room) if whole > _TOO_FULL * room else math.inf


def _until_next(widths: Sequence[float], kept: Sequence[bool | None], place: int) -> Iterator[float]:
    """The widths of the frames of a system that began before at a place."""
    yield widths[place]
    for frame in range(place + 1, len(widths)):
        if kept[frame] is not False:
            return
        yield widths[frame]


_BAR_LINE, _QUARTER, _GROWTH = 0.7, 1.0, 0.55
_SIGN, _GRACE, _LETTER = 0.3, 0.35, 0.24
"""What an accidental, a grace note and a letter of a syllable take, in heights of a staff: measured on pictures."""


Moments = tuple[tuple[float, float], ...]
"""When something begins in a bar of a staff, in whole notes, with the room that it takes at least; its end last."""


def moments(bar: WrittenBar) -> Moments:
    """What takes room in a bar."""
    at: dict[float, float] = {}
    end = 0.25
    for voice in (*bar.voices, bar.cue):
        for onset, leaf in timed_leaves(voice, Fraction(0)):
            now = float(onset)
            at[now] = max(at.get(now, 0.0), _beside(leaf))
            end = max(end, now + float(leaf.written))
    return (*sorted(at.items()), (end, 0.0))


def bar_width(bars: Sequence[Moments]) -> float:
    """About how wide some bars that stand above one another are, in heights of a staff.

    A note takes room by its length, but less than in proportion: common practice.
    """
    at: dict[float, float] = {}
    end = 0.25
    for bar in bars:
        for now, room in bar[:-1]:
            at[now] = max(at.get(now, 0.0), room)
        end = max(end, bar[-1][0])
    moments_of_all = sorted(at)
    spaces = (
        max(_QUARTER * math.pow((after - now) * 4, _GROWTH), at[now])
        for now, after in zip(moments_of_all, (*moments_of_all[1:], end), strict=True)
        if after > now
    )  # fmt: skip
    return _BAR_LINE + sum(spaces)


def _beside(leaf: Leaf) -> float:
    """What a leaf takes at least."""
    signs = any(head.accidental is not Accidental.NONE for head in leaf.heads)
    sung = max((len(text.text) for text in leaf.sung), default=0)
    return max(0.6 + _SIGN * signs + _GRACE * len(leaf.graces), _LETTER * sung + 0.2)
