"""How a left hand moves along strings: from one stop or chord to the next, in the time that there is.

In: for each moment the ways in which its notes can be stopped, as the stretch of the string between the outer fingers.
Out: one way for each such that the fewest moves are out of time, and of those the ones that move the hand least; found
from moment to moment, since only where the hand stood last counts. An open string leaves the hand where it is, and
gives it time. A hand that does not move lets each note be taken by another finger: it lies over a frame of the string,
and notes within the frame need no move.

Source: players' handbooks give a move of one position about 0.1 s and a large one 0.2 to 0.3 s; from memory, and a
guide. The note before a move may be cut by half for it, and no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.record import record

LEAST_TIME, MILLIMETERS_A_SECOND = 0.08, 1500.0
"""Seconds of any move, and how fast the hand goes: 30 mm take 0.1 s, 300 mm 0.28 s."""
_LATE, _HOPELESS = 10**6, 10**9


@record
class HandPosition:
    """Where the outer fingers stand, in millimeters from the nut."""

    low: int
    high: int


@record
class StoppedMoment:
    """What is stopped at one moment: when, and in which ways; None for open strings alone."""

    begins: float
    ends: float
    ways: tuple[HandPosition | None, ...]


@record
class Move:
    """What the hand does before a moment."""

    way: int
    """Which of its ways."""
    distance: int
    """Millimeters; 0 where it can stay."""
    time: float
    """Seconds there are, half of the note before included; endless for the first."""
    whole: float
    """Seconds from the onset of what was stopped before."""
    needed: float

    @property
    def is_late(self) -> bool:
        """There is less time than it takes."""
        return self.needed > self.time

    @property
    def cut(self) -> str:
        """What is said of the note before where it alone is in the way."""
        return f"; the note before leaves it {self.time:.2f} s" if self.needed <= self.whole else ""

    @property
    def is_hopeless(self) -> bool:
        """It would take twice as long as there is, were the note before not to sound at all."""
        return self.needed > 2 * self.whole


def seconds_for(distance: int) -> float:
    """How long a move takes."""
    return LEAST_TIME + distance / MILLIMETERS_A_SECOND if distance else 0.0


def distance(before: HandPosition, after: HandPosition, frame: int) -> int:
    """Millimeters that the hand must move between two grips; it may stand anywhere from which it reaches both ends."""
    return max(0, after.high - frame - before.low, before.high - frame - after.low)


def moves(held: Sequence[StoppedMoment], frame: int, slowness: float = 1.0) -> list[Move]:
    """The best way for each moment, and the move before it; `slowness` multiplies the time that moves take."""
    reached: dict[_Hand | None, tuple[int, _Trace | None]] = {None: (0, None)}
    for moment in held:
        after: dict[_Hand | None, tuple[int, _Trace | None]] = {}
        for way, grip in enumerate(moment.ways):
            for hand, (cost, trace) in reached.items():
                move = _move(hand, moment, way, grip, frame, slowness)
                total = cost + move.distance + _LATE * move.is_late + _HOPELESS * move.is_hopeless
                now = hand if grip is None else _Hand(grip, moment.begins, moment.ends)
                known = after.get(now)
                if known is None or total < known[0]:
                    after[now] = total, _Trace(move, trace)
        reached = after
    found: list[Move] = []
    best = min(reached.values(), key=lambda reached: reached[0])[1]
    while best is not None:
        found.append(best.move)
        best = best.before
    return found[::-1]


@record
class _Hand:
    grip: HandPosition
    begins: float
    ends: float


@record
class _Trace:
    move: Move
    before: _Trace | None


def _move(
    hand: _Hand | None, moment: StoppedMoment, way: int, grip: HandPosition | None, frame: int, slowness: float
) -> Move:
    if hand is None or grip is None:
        return Move(way, 0, float("inf"), float("inf"), 0.0)
    far = distance(hand.grip, grip, frame)
    whole = moment.begins - hand.begins
    time = whole - min(hand.ends - hand.begins, whole) / 2
    return Move(way, far, time, whole, slowness * seconds_for(far))


def least(before: Sequence[HandPosition | None], after: Sequence[HandPosition | None], frame: int) -> int:
    """The shortest move from any of some ways to any of others; 0 where open strings will do."""
    if None in before or None in after or not (before and after):
        return 0
    return min(distance(one, other, frame) for one in before if one for other in after if other)


def late_moves(held: Sequence[StoppedMoment], frame: int, slowness: float = 1.0) -> Iterator[tuple[int, Move, bool]]:
    """The moves of the best way that are out of time: the place of the moment after each, and whether it is hopeless.

    It is so only where no other way of both moments would do.
    """
    for place, move in enumerate(moves(held, frame, slowness)):
        if move.is_late:  # never the first
            hopeless = move.is_hopeless and _is_hopeless(held[place - 1], held[place], frame, slowness)
            yield place, move, hopeless


def _is_hopeless(before: StoppedMoment, after: StoppedMoment, frame: int, slowness: float) -> bool:
    """Whether on whichever way of both moments the move would take twice as long as there is, from onset to onset."""
    return slowness * seconds_for(least(before.ways, after.ways, frame)) > 2 * (after.begins - before.begins)
