"""What one hand can strike at once on a keyboard, and how far it must leap from one chord to the next.

In: MIDI keys from low to high, the hand, and how wide an octave of the instrument is. Out: which finger takes which
key, how far the hand is open in millimeters, and by how many semitones the worst pair of fingers is opened further than
pianists practice; nothing where there are too few fingers. The thumb may take two neighboring keys of one color, and
the flat hand a whole row of them, a cluster.

Sources: 165 mm for the octave of a piano, and the span of a hand in adults (a mean of 226 mm in men and 201 in women;
473 pianists), from the studies on hand span of R. Boyle; spans between fingers as in R. Parncutt, J. A. Sloboda, E. F.
Clarke, M. Raekallio and P. Desain, "An Ergonomic Model of Keyboard Fingering for Melodic Fragments", Music Perception
14 (1997), the column of the largest practical spans. Two keys under the thumb, the octaves of other instruments, and
how fast a hand moves: from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import combinations

from cavata.music.pitch import NATURAL_SEMITONES
from cavata.record import record

PIANO_OCTAVE = 165
OCTAVES = {"accordion": 140, "harpsichord": 160, "clavichord": 158, "toy piano": 110}
"""Millimeters of an octave where it is not a piano's. From memory."""
REACH, CARE = 16, 14
"""Semitones that a pianist's hand reaches, and those up to which it needs no care: a ninth is free, and of tenths some
hands take only those that are less wide on the keys. Brahms strikes the tenth C#3 E3 A3 E4 with the left hand (op. 118
no. 2, bars 34 and 35); that of its second bar, F#4 A5, is rolled."""
STRETCHES = {
    (1, 2): 10, (1, 3): 12, (1, 4): 14, (1, 5): 15, (2, 3): 5, (2, 4): 7, (2, 5): 10, (3, 4): 4, (3, 5): 7, (4, 5): 5,
}  # fmt: skip
"""Semitones between two fingers, as far as pianists practice them."""
BEYOND = 3
"""So many semitones more than practiced are not taken by any hand. From memory."""
FINGERS = 5
_BLACK_MIDDLES = {1: 0.9, 3: 2.1, 6: 3.87, 8: 5.0, 10: 6.13}
"""The middle of each black key, in widths of a white key from the left edge of C."""


def place_of(key: int) -> float:
    """The middle of a key, in widths of a white key from the left edge of MIDI key 0."""
    octave, inside = divmod(key, 12)
    middle = _BLACK_MIDDLES.get(inside)
    return octave * 7 + (NATURAL_SEMITONES.index(inside) + 0.5 if middle is None else middle)


def distance(low: int, high: int, octave: int = PIANO_OCTAVE) -> float:
    """Millimeters from the middle of one key to that of another."""
    return (place_of(high) - place_of(low)) * octave / 7


@cache
def width(semitones: int, octave: int = PIANO_OCTAVE) -> float:
    """Millimeters of so many semitones where they lie widest; with a margin for the width of a finger."""
    return max(distance(key, key + semitones, octave) for key in range(12)) + 2


@record
class Hand:
    """How keys lie under a hand."""

    fingers: tuple[int, ...]
    """For each key its finger, 1 for the thumb; empty for a cluster."""
    open: int
    """Millimeters between the outermost keys."""
    beyond: int = 0
    """Semitones by which the worst pair of fingers is opened further than pianists practice."""

    @property
    def shared(self) -> bool:
        """Whether a finger has two keys."""
        return len(set(self.fingers)) < len(self.fingers)

    def possible(self, reach: float) -> bool:
        """Whether a hand takes it that opens so many millimeters."""
        return self.open <= reach and self.beyond <= BEYOND


def hand_of(keys: Sequence[int], left: bool, octave: int = PIANO_OCTAVE) -> Hand | None:
    """How one hand strikes some keys at once, low to high; None where it has too few fingers."""
    shift = keys[0] - keys[0] % 12 if keys else 0
    return _hand(tuple(key - shift for key in keys), left, octave)


@lru_cache(maxsize=4096)
def _hand(keys: tuple[int, ...], left: bool, octave: int) -> Hand | None:
    if not keys:
        return Hand((), 0)
    wide = round(distance(keys[0], keys[-1], octave))
    found = [
        Hand(fingers, wide, _beyond(keys, fingers, octave / PIANO_OCTAVE)) for fingers in _fingerings(keys, left)
    ]  # fmt: skip
    best = min(found, key=lambda hand: (hand.beyond, hand.shared, hand.fingers), default=None)
    if (best is None or best.beyond > BEYOND) and _is_row(keys):
        return Hand((), wide)
    return best


def _fingerings(keys: tuple[int, ...], left: bool) -> list[tuple[int, ...]]:
    """Every way to give the keys to fingers in their order, the thumb having two neighbors at most."""
    hand = range(FINGERS, 0, -1) if left else range(1, FINGERS + 1)
    found: list[tuple[int, ...]] = list(combinations(hand, len(keys)))
    thumbs = keys[-2:] if left else keys[:2]
    if len(thumbs) == 2 and _neighbors(*thumbs):
        others = combinations([finger for finger in hand if finger != 1], len(keys) - 2)
        found += [(*other, 1, 1) if left else (1, 1, *other) for other in others]
    return found


def _neighbors(low: int, high: int) -> bool:
    """Whether two keys of one color lie side by side, so that a thumb can press both."""
    return high - low in (1, 2) and is_white(low) == is_white(high)


def is_white(key: int) -> bool:
    """Whether a key is white on a piano."""
    return key % 12 in NATURAL_SEMITONES


def _beyond(keys: tuple[int, ...], fingers: tuple[int, ...], size: float) -> int:
    """How much further than practiced the worst pair of fingers is opened."""
    worst = 0
    for (low, one), (high, two) in combinations(zip(keys, fingers, strict=True), 2):
        pair = (min(one, two), max(one, two))
        if one != two and pair != (1, FINGERS):  # the whole hand is measured in millimeters
            worst = max(worst, round((high - low) * size) - STRETCHES[pair])
    return worst


def _is_row(keys: tuple[int, ...]) -> bool:
    """Whether the keys are all of a color, or all there are, from the first to the last."""
    if len(keys) <= FINGERS:
        return False
    between = range(keys[0], keys[-1] + 1)
    return keys in (
        tuple(between), tuple(k for k in between if is_white(k)), tuple(k for k in between if not is_white(k))
    )  # fmt: skip


def divided_hands(keys: Sequence[int], reach: float, octave: int = PIANO_OCTAVE) -> tuple[Hand, Hand] | None:
    """How two hands strike some keys, the left one the lower ones, with as little strain as can be; None for no way."""
    best: tuple[Hand, Hand] | None = None
    for count in range(len(keys) + 1):
        low, high = hand_of(keys[:count], True, octave), hand_of(keys[count:], False, octave)
        if low is None or high is None or not (low.possible(reach) and high.possible(reach)):
            continue
        if best is None or _strain(low, high) < _strain(*best):
            best = low, high
    return best


def _strain(low: Hand, high: Hand) -> tuple[int, int]:
    return low.beyond + high.beyond, max(low.open, high.open)


# ----------------------------------------------------------------
# From one chord to the next.

STEADY, QUICK = 0.08, 0.40
"""Seconds that a leap takes beside the way, and seconds for a meter of the way: so a leap to a note two octaves away,
which moves an open hand by one, wants 0.15 s with care. From memory."""


def leap(before: Sequence[int], after: Sequence[int], octave: int = PIANO_OCTAVE) -> int:
    """Millimeters that a hand has to move from some keys to others, both low to high; 0 where it only opens.

    An open hand covers an octave, or the wider of the chords.
    """
    if not before or not after:
        return 0
    covered = max(octave, distance(before[0], before[-1], octave), distance(after[0], after[-1], octave))
    up, down = distance(before[0], after[-1], octave), distance(after[0], before[-1], octave)
    return max(0, round(up - covered), round(down - covered))


def leap_time(way: int) -> float:
    """Seconds in which a leap of so many millimeters is made with care."""
    return STEADY + QUICK * way / 1000 if way else 0.0
