"""Lengths in whole notes: how they are added, and which can be written."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import lcm

LONGEST = Fraction(1000)
"""The longest note of a script, in whole notes."""
LARGEST_ODD = 225
"""The largest odd part of a denominator that brackets can show."""
QUARTER = Fraction(1, 4)
"""What a note lasts that is given no length."""


def total(durations: Iterable[Fraction]) -> Fraction:
    """The sum of durations, in whole notes; counted in one unit, several times faster than adding fractions."""
    pairs = [duration.as_integer_ratio() for duration in durations]
    unit = lcm(*{denominator for _, denominator in pairs})
    return Fraction(sum(numerator * (unit // denominator) for numerator, denominator in pairs), unit)


def is_plain(length: Fraction) -> bool:
    """Whether halving a whole note reaches it or what it is made of, so that it needs no bracket."""
    return length.denominator & (length.denominator - 1) == 0
