"""How well notes fit the 24 major and minor keys.

The Krumhansl-Kessler profiles (listeners' ratings of the twelve notes in a major and a minor key, 1982), correlated by
Pearson's formula with how much of each pitch class there is. Sums are exact; only the root at the end is a float.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from cavata.record import dataclass

PROFILES: dict[str, tuple[Fraction, ...]] = {
    mode: tuple(map(Fraction, numbers.split()))
    for mode, numbers in {
        "major": "6.35 2.23 3.48 2.33 4.38 4.09 2.52 5.19 2.39 3.66 2.29 2.88",
        "minor": "6.33 2.68 3.52 5.38 2.60 3.53 2.54 4.75 3.98 2.69 3.34 3.17",
    }.items()
}


@dataclass(frozen=True, slots=True)
class KeyFit:
    """A key and how well it fits."""

    tonic: int
    """Pitch class, 0 to 11 from C."""
    mode: str
    squared: Fraction
    """The square of the correlation, exact, with the correlation's sign."""

    @property
    def correlation(self) -> float:
        """Pearson's r, from -1 to 1."""
        return math.copysign(math.sqrt(abs(self.squared)), self.squared)


def key_fits(weights: Mapping[int, Fraction]) -> tuple[KeyFit, ...]:
    """All 24 keys, the best first; empty where every pitch class weighs the same, since nothing then correlates."""
    heard = [weights.get(pitch_class, Fraction(0)) for pitch_class in range(12)]
    if len(set(heard)) == 1:
        return ()
    fits = [
        KeyFit(tonic, mode, _signed_square(heard, [profile[(p - tonic) % 12] for p in range(12)]))
        for mode, profile in PROFILES.items()
        for tonic in range(12)
    ]
    return tuple(sorted(fits, key=lambda fit: (-fit.squared, fit.mode, fit.tonic)))


def _signed_square(left: list[Fraction], right: list[Fraction]) -> Fraction:
    mean_left, mean_right = sum(left) / Fraction(12), sum(right) / Fraction(12)
    shared = sum((a - mean_left) * (b - mean_right) for a, b in zip(left, right, strict=True))
    spread = sum((a - mean_left) ** 2 for a in left) * sum((b - mean_right) ** 2 for b in right)
    return Fraction(shared) * abs(Fraction(shared)) / Fraction(spread)
