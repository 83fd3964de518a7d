"""Tempi that were all multiplied by one ratio, which is one change.

In: pairs of tempi, as they were and as they are. Out: words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import floor

from cavata.score.score import Tempo


def scaled_tempi(pairs: Sequence[tuple[Tempo | None, Tempo | None]]) -> str:
    """What happened to the tempi of a movement, if they all were multiplied by one ratio; empty if not.

    A tempo alone is told by its numbers. Those that were rounded to whole numbers may differ from the ratio by that.
    """
    both = [(old, new) for old, new in pairs if old is not None and new is not None]
    if len(both) < max(2, len(pairs)) or any(_without_rate(old) != _without_rate(new) for old, new in both):
        return ""
    all_of = "both tempi" if len(both) == 2 else f"all {len(both)} tempi"
    rates = {(old.per_minute, new.per_minute) for old, new in both}
    exact = {new / old for old, new in rates}
    if len(exact) == 1:
        ratio = exact.pop()
        return "" if ratio == 1 else f"{all_of} {ratio.numerator}:{ratio.denominator} times as fast"
    bounds = list(_bounds(rates))
    low, high = max(low for low, _ in bounds), min(high for _, high in bounds)
    about = f"{float((low + high) / 2):.2f}".rstrip("0").rstrip(".")
    return f"{all_of} about {about} times as fast" if low < high and about != "1" else ""


def _bounds(rates: set[tuple[Fraction, Fraction]]) -> Iterator[tuple[Fraction, Fraction]]:
    """For each pair of metronome numbers the ratios that make the one of the other, to the nearest whole number."""
    half = Fraction(1, 2)
    for old, new in rates:
        off = half if new == floor(new) else Fraction(1, 1000)
        yield (new - off) / old, (new + off) / old


def _without_rate(tempo: Tempo) -> tuple[object, ...]:
    return tempo.beat, tempo.words, tempo.metronome, tempo.until is None, tempo.keyword
