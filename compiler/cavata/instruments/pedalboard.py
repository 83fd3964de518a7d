"""What two feet can play on an organ's pedals: keys at once, and a line in time.

In: MIDI keys as they are written, and when each is struck. Out: how keys lie under two feet, or one; and where no way
of going from foot to foot leaves every foot the time that it needs. A foot has two keys at most, one under the toe and
one under the heel. The search goes through all ways of giving each note to a foot, whatever has been played before; of
ways that end with the same keys under both feet, it keeps the one whose other foot has been free longest, which loses
nothing. A note may not be held by the one foot while that one plays the next.

Sources: two notes at once as the normal, one line with alternate toes, heel and toe for neighbors, and a swell pedal
that takes a foot: pages on writing for organ (wiscomposers.org, "organ6"). How far one foot reaches, the distance of
keys, and the times: from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.instruments.keyboards import distance
from cavata.record import record

OCTAVE = 445
"""Millimeters of an octave of pedals: naturals 63.5 mm (2.5 inches) apart. From memory."""
THIRD, FIFTH = 4, 7
"""Semitones that a foot has under toe and heel with ease, and at the utmost."""
APART = 19
"""Semitones, an octave and a fifth, beyond which two feet stand too far apart to be sure of their keys. From memory."""
RIGHT_END = 60
"""Above this key, c1, a left foot plays only for a short time. From memory."""
AGAIN = 0.20
"""Seconds from a stroke of a foot to its next, on the same key or another: five a second. From memory."""
HEEL = 0.15
"""Seconds from the toe of a foot to its heel on a neighboring key."""
METER = 0.40
"""Seconds for a meter of the way."""


@record
class Feet:
    """How keys lie under the feet."""

    left: tuple[int, ...]
    right: tuple[int, ...]

    @property
    def widest(self) -> int:
        """Semitones that the one foot which has most to hold is stretched."""
        return max((keys[-1] - keys[0] for keys in (self.left, self.right) if keys), default=0)

    @property
    def easy(self) -> bool:
        """Whether each foot has one key, and neither is far away."""
        return not self.hardship

    @property
    def hardship(self) -> str:
        """What wants care; nothing where it is easy."""
        if len(self.left) > 1 or len(self.right) > 1:
            far = f", {self.widest} semitones apart" if self.widest > THIRD else ""
            return f"one foot has two keys under toe and heel{far}"
        if not (self.left and self.right):
            return ""
        if self.right[0] - self.left[0] > APART:
            return f"the feet stand {self.right[0] - self.left[0]} semitones apart"
        return "the left foot has to cross to the right end of the pedals" if self.left[0] > RIGHT_END else ""


def feet_of(keys: Sequence[int], feet: int = 2) -> Feet | None:
    """How so many feet hold some keys at once, low to high, the left one the lower; None for no way."""
    ways = [
        Feet(tuple(keys[:count]), tuple(keys[count:]))
        for count in range(len(keys) + 1)
        if count <= 2 and len(keys) - count <= 2 and (feet > 1 or count in (0, len(keys)))
    ]
    ways = [way for way in ways if way.widest <= FIFTH]
    return min(ways, key=lambda way: (way.widest, abs(len(way.left) - len(way.right))), default=None)


@record
class PedalStroke:
    """A key that is struck, and when, in seconds."""

    key: int
    onset: float


def time_of(before: int, after: int) -> float:
    """Seconds that one foot needs from a key to the next."""
    if before != after and abs(after - before) <= THIRD:
        return HEEL
    return AGAIN + METER * abs(distance(before, after, OCTAVE)) / 1000


_State = tuple[int, PedalStroke | None]
"""Which foot played last, 0 for the left, and what the other one played last."""


def hurried(steps: Sequence[PedalStroke], share: float = 1.0, feet: int = 2) -> Iterator[int]:
    """The places of notes in a line of pedals, one after another, to which no foot comes in time.

    `share` of the time that feet need is asked for. After such a note the line begins afresh.
    """
    ways: set[_State] = set()
    for place, step in enumerate(steps):
        found: set[_State] = set()
        before = steps[place - 1] if place else None
        for foot, other in ways:
            assert before is not None
            if _in_time(before, step, share):
                found.add((foot, other))
            if feet > 1 and (other is None or _in_time(other, step, share)):
                found.add((1 - foot, before))
        if before is None or not found:
            if before is not None:
                yield place
            found = {(foot, None) for foot in range(feet)}
        ways = _longest_free(found)


def _in_time(before: PedalStroke, after: PedalStroke, share: float) -> bool:
    return after.onset - before.onset >= share * time_of(before.key, after.key)


def _longest_free(found: set[_State]) -> set[_State]:
    """Of states with the same keys under the feet, the one whose other foot has been free longest."""
    best: dict[tuple[int, int | None], _State] = {}
    for state in found:
        foot, other = state
        known = best.get((foot, other.key if other else None))
        known_other = known[1] if known else None
        if known is None or (other and known_other and other.onset < known_other.onset):
            best[foot, other.key if other else None] = state
    return set(best.values())
