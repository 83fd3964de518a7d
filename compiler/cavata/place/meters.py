"""Metres: the beats of a time signature where the script does not group them."""

from __future__ import annotations

from cavata.score.score import Meter


def meter_of(numerator: int, denominator: int, groups: tuple[int, ...]) -> Meter:
    """A metre with the script's beat groups, or with those of common practice."""
    return Meter(numerator, denominator, groups or default_groups(numerator, denominator), bool(groups))


def default_groups(numerator: int, denominator: int) -> tuple[int, ...]:
    """Beats in units of the denominator. Source: common practice.

    Threes in compound metre; in eighths and shorter, twos with a three at the end of an odd number;
    quarters and longer one by one, but 5 as 3+2 and 7 as 2+2+3.
    """
    if numerator % 3 == 0 and (numerator > 3 or denominator >= 8):
        return (3,) * (numerator // 3)
    if denominator >= 8:
        if numerator % 2 and numerator > 3:
            return (3, 2) if numerator == 5 else (2,) * ((numerator - 3) // 2) + (3,)
        return (2,) * (numerator // 2) if numerator % 2 == 0 else (numerator,)
    return {5: (3, 2), 7: (2, 2, 3)}.get(numerator, (1,) * numerator)
