"""Clock time: when a place of the score is heard, and how long a movement takes, repeats and fermatas counted.

In: a movement. Out: exact seconds. How long a fermata holds is an estimate, as any player's is.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.place.pace import seconds_between
from cavata.place.score import Movement


def stretches(movement: Movement) -> tuple[tuple[Fraction, Fraction], ...]:
    """From and to, in whole notes of the score, in the order in which they sound."""
    return movement.playing or ((Fraction(0), movement.duration),)


def seconds(movement: Movement, onset: Fraction) -> Fraction:
    """How many seconds after the movement's beginning a place is first heard; the end is heard last."""
    if onset >= movement.duration:
        return length(movement)
    now = Fraction(0)
    for begin, end in stretches(movement):
        if begin <= onset < end:
            return now + seconds_between(movement, begin, onset)
        now += seconds_between(movement, begin, end)
    return now


def length(movement: Movement) -> Fraction:
    """How many seconds the movement takes."""
    return sum((seconds_between(movement, begin, end) for begin, end in stretches(movement)), Fraction(0))
