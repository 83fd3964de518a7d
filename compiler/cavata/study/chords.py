"""The name of the chord that notes make, where common practice has one.

The table is of common practice: triads, sevenths, added notes and ninths. Names go by keys of the keyboard, so that a
chord spelled oddly is still found. Of several names (an augmented triad has three roots) the first in the table's order
is taken, and then the one whose root is the lowest note.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import combinations

from cavata.music.pitch import Pitch, PitchClass
from cavata.record import record

# ----------------------------------------------------------------
# Set classes: prime form, interval vector, and Forte's label, all computed.
#
# Prime forms are by Forte's algorithm: of the smallest span, and of those the one packed to the left. Rahn's packs away
# from the right and differs in six classes: 5-20, 6-Z29, 6-31, 7-Z18, 7-20 and 8-26. Forte's numbers follow from an
# order: interval vectors falling, one class of each vector; then the second classes of vectors that two have (his
# Z), in
# the same order. Of such a pair the one of the smaller span comes first, else the one packed more to the left;
# 6-Z28 and
# 6-Z49 alone stand the other way about. Larger sets have the number of their complement. A is the prime form's own
# transposition class, B its inversion's. Source: Forte, The Structure of Atonal Music, 1973 (from memory); the tests
# compare every class with music21.


Set = tuple[int, ...]

_BEFORE_ITS_PARTNER: dict[Set, Set] = {(0, 1, 3, 5, 6, 9): (0,)}
"""6-Z28, which Forte numbers before 6-Z49 though that is packed more to the left."""


@record
class SetClass:
    """The class of a set under transposition and inversion."""

    prime: Set
    vector: Set
    """How many of each interval class, 1 to 6."""
    label: str
    """Forte's, as `4-Z15A`; without A or B where inversion gives the same sets."""

    @property
    def prime_text(self) -> str:
        """The prime form in one word, ten and eleven as T and E."""
        return "".join("0123456789TE"[member] for member in self.prime)

    @property
    def vector_text(self) -> str:
        """The interval vector in one word, ten and more in brackets."""
        return "".join(str(n) if n < 10 else f"({n})" for n in self.vector)


def set_class(pitch_classes: Iterable[int]) -> SetClass:
    """The class of a set of pitch classes, 0 to 11; it must not be empty (ValueError)."""
    members = frozenset(pitch_class % 12 for pitch_class in pitch_classes)
    if not members:
        raise ValueError("no pitch class")
    own, turned = _normal(members), _normal(-member for member in members)
    prime = min(own, turned)
    number, doubled = _numbers()[prime]
    half = "" if own == turned else "A" if own == prime else "B"
    return SetClass(prime, interval_vector(members), f"{len(members)}-{'Z' if doubled else ''}{number}{half}")


def interval_vector(members: Iterable[int]) -> Set:
    """How many of each interval class, 1 to 6, a set holds."""
    counts = [0] * 6
    for lower, upper in combinations(sorted(set(members)), 2):
        between = (upper - lower) % 12
        counts[min(between, 12 - between) - 1] += 1
    return tuple(counts)


def _normal(members: Iterable[int]) -> Set:
    """The transposition class: from 0, of the smallest span, packed to the left."""
    return min(_turns(sorted({member % 12 for member in members})), key=lambda turn: (turn[-1], turn))


def _turns(members: list[int]) -> Iterator[Set]:
    for index, first in enumerate(members):
        yield tuple((member - first) % 12 for member in members[index:] + members[:index])


@cache
def _numbers() -> dict[Set, tuple[int, bool]]:
    """Forte's number of every prime form, and whether another class has its vector."""
    table: dict[Set, tuple[int, bool]] = {}
    for size in range(1, 7):
        table.update(_numbers_of(size))
    for size in range(7, 13):
        for members in combinations(range(12), size):
            prime = _prime(members)
            if prime not in table:
                rest = frozenset(range(12)) - set(members)
                table[prime] = table[_prime(rest)] if rest else (1, False)
    return table


def _prime(members: Iterable[int]) -> Set:
    known = tuple(members)
    return min(_normal(known), _normal(-member for member in known))


def _numbers_of(size: int) -> dict[Set, tuple[int, bool]]:
    by_vector: dict[Set, list[Set]] = {}
    for prime in {_prime(members) for members in combinations(range(12), size)}:
        by_vector.setdefault(interval_vector(prime), []).append(prime)
    falling = [sorted(by_vector[vector], key=_closeness) for vector in sorted(by_vector, reverse=True)]
    order = [primes[0] for primes in falling] + [prime for primes in falling for prime in primes[1:]]
    doubled = {prime for primes in falling if len(primes) > 1 for prime in primes}
    return {prime: (number, prime in doubled) for number, prime in enumerate(order, start=1)}


def _closeness(prime: Set) -> tuple[int, Set]:
    """Orders two classes of one vector."""
    return prime[-1], _BEFORE_ITS_PARTNER.get(prime, prime)


# ----------------------------------------------------------------

QUALITIES: dict[str, tuple[int, ...]] = {
    "major triad": (0, 4, 7),
    "minor triad": (0, 3, 7),
    "diminished triad": (0, 3, 6),
    "augmented triad": (0, 4, 8),
    "dominant seventh": (0, 4, 7, 10),
    "minor seventh": (0, 3, 7, 10),
    "major seventh": (0, 4, 7, 11),
    "half-diminished seventh": (0, 3, 6, 10),
    "diminished seventh": (0, 3, 6, 9),
    "minor triad with major seventh": (0, 3, 7, 11),
    "augmented triad with major seventh": (0, 4, 8, 11),
    "augmented triad with minor seventh": (0, 4, 8, 10),
    "dominant seventh without fifth": (0, 4, 10),
    "minor seventh without fifth": (0, 3, 10),
    "major seventh without fifth": (0, 4, 11),
    "quartal chord": (0, 5, 10),
    "major triad with added second": (0, 2, 4, 7),
    "minor triad with added second": (0, 2, 3, 7),
    "dominant seventh with suspended fourth": (0, 5, 7, 10),
    "dominant ninth": (0, 2, 4, 7, 10),
    "minor ninth": (0, 2, 3, 7, 10),
    "major ninth": (0, 2, 4, 7, 11),
    "dominant seventh with flat ninth": (0, 1, 4, 7, 10),
    "pentatonic scale": (0, 2, 4, 7, 9),
    "whole-tone scale": (0, 2, 4, 6, 8, 10),
    "fifth": (0, 7),
}
"""Semitones above the root."""
_INVERSIONS = ("root position", "first inversion", "second inversion", "third inversion", "fourth inversion")


@record
class ChordName:
    """A chord by its root and kind."""

    root: PitchClass
    quality: str
    lowest: PitchClass

    @property
    def position(self) -> str:
        """Which inversion, counted in the chord's own thirds or as the table writes it."""
        steps = QUALITIES[self.quality]
        above = (self.lowest.semitone - self.root.semitone) % 12
        index = steps.index(above)
        return _INVERSIONS[index] if index < len(_INVERSIONS) else f"over {self.lowest}"

    def __str__(self) -> str:
        where = "" if self.lowest.semitone == self.root.semitone else f", {self.lowest} lowest"
        return f"{self.root} {self.quality}{where}"


def chord_name(pitches: Sequence[Pitch]) -> ChordName | None:
    """The chord that the notes make together, or None where the table has no name; there must be a note."""
    lowest = min(pitches, key=lambda pitch: pitch.midi).pitch_class
    classes = {pitch.pitch_class.semitone: pitch.pitch_class for pitch in reversed(pitches)}
    for quality, steps in QUALITIES.items():
        roots = [c for c in classes.values() if {(c.semitone + step) % 12 for step in steps} == set(classes)]
        if roots:
            root = min(roots, key=lambda c: ((c.semitone - lowest.semitone) % 12, c.letter))
            return ChordName(root, quality, lowest)
    return None
