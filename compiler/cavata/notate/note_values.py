"""Note values: which lengths one undotted or dotted note can have.

In: a length in ticks and the ticks of a whole note. Out: the note value and its dots, or None.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

LONGEST = 2
"""The breve: longer notes are tied. Source: common practice."""


def odd_part(number: int) -> int:
    """The number with every factor 2 taken out."""
    return number // (number & -number)


@lru_cache(maxsize=16384)
def note_value(ticks: int, whole: int) -> tuple[Fraction, int] | None:
    """The undotted value and up to two dots that make this length; None where no single note does."""
    length = Fraction(ticks, whole)
    numerator, denominator = length.numerator, length.denominator
    if denominator & (denominator - 1):
        return None
    dots = {1: 0, 3: 1, 7: 2}.get(odd_part(numerator))
    if dots is None:
        return None
    base = length / (2 - Fraction(1, 2**dots))
    return (base, dots) if base <= LONGEST else None


def flags(base: Fraction) -> int:
    """How many flags or beams a note value has: none from the quarter up, one for an eighth."""
    return max(0, base.denominator.bit_length() - 3)
