"""Set classes: prime form, interval vector, and Forte's label, all computed.

Prime forms are by Forte's algorithm: of the smallest span, and of those the one packed to the left. Rahn's packs away
from the right and differs in six classes: 5-20, 6-Z29, 6-31, 7-Z18, 7-20 and 8-26. Forte's numbers follow from an
order: interval vectors falling, one class of each vector; then the second classes of vectors that two have (his Z), in
the same order. Of such a pair the one of the smaller span comes first, else the one packed more to the left; 6-Z28 and
6-Z49 alone stand the other way about. Larger sets have the number of their complement. A is the prime form's own
transposition class, B its inversion's. Source: Forte, The Structure of Atonal Music, 1973 (from memory); the tests
compare every class with music21.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations

from cavata.record import dataclass

Set = tuple[int, ...]

_BEFORE_ITS_PARTNER: dict[Set, Set] = {(0, 1, 3, 5, 6, 9): (0,)}
"""6-Z28, which Forte numbers before 6-Z49 though that is packed more to the left."""


@dataclass(frozen=True, slots=True)
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
