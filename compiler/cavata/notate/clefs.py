"""The clef each staff begins with, and where it changes.

In: a staff's written pitches in order, with the places where a change would be sensible, and the clefs its player
reads. Out: the first clef and the changes. A clef changes only where ledger lines demand it for a stretch: the
whole staff is weighed at once, each change costing as much as three notes on three ledger lines.
Source of the clefs' lines: common practice; the weights are this project's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from cavata.record import dataclass

BOTTOM_LINES = {
    "treble": 30, "soprano": 28, "mezzosoprano": 26, "alto": 24, "tenor": 22, "baritone": 20, "bass": 18,
}  # fmt: skip
"""The staff position of each clef's lowest line: E4 in the treble clef is 30."""
OCTAVE_SIGNS = {"_8": -7, "^8": 7, "_15": -14, "^15": 14}
CHANGE = 24
"""The cost of a change, where a note on three ledger lines costs 8, and one that the usual clef would suit costs 4
in any other."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Notes between two places where the clef may change: each as its lowest and highest staff position."""

    notes: tuple[tuple[int, int], ...]


def bottom_line(clef: str) -> int:
    """The staff position of a clef's lowest line."""
    for sign, shift in OCTAVE_SIGNS.items():
        if clef.endswith(sign):
            return BOTTOM_LINES[clef.removesuffix(sign)] + shift
    return BOTTOM_LINES[clef]


@lru_cache(maxsize=4096)
def ledger_lines(clef: str, lowest: int, highest: int) -> int:
    """How many ledger lines a chord needs, above or below, whichever is more."""
    bottom = bottom_line(clef)
    return max(0, (bottom - lowest) // 2, (highest - bottom - 8) // 2)


def clefs_for(stretches: Sequence[Stretch], readable: Sequence[str]) -> tuple[str, ...]:
    """The clef of each stretch; `readable` has the usual clef first."""
    usual = readable[0]
    if len(readable) == 1 or all(ledger_lines(usual, *note) < 3 for stretch in stretches for note in stretch.notes):
        return (usual,) * len(stretches)
    costs = [0] * len(readable)
    ways: list[list[int]] = []
    for number, stretch in enumerate(stretches):
        entry = [_cheapest(costs, state, free=number == 0) for state in range(len(readable))]
        ways.append([came for _, came in entry])
        costs = [cost + _weight(readable[state], usual, stretch.notes) for state, (cost, _) in enumerate(entry)]
    state = min(range(len(readable)), key=lambda index: costs[index])
    chosen = []
    for came in reversed(ways):
        chosen.append(readable[state])
        state = came[state]
    return tuple(reversed(chosen))


def _cheapest(costs: Sequence[int], state: int, free: bool) -> tuple[int, int]:
    """The cheapest way into a clef: staying if it costs no more than a change."""
    if free:
        return costs[state], state
    other = min(range(len(costs)), key=lambda index: costs[index])
    return (costs[state], state) if costs[state] <= costs[other] + CHANGE else (costs[other] + CHANGE, other)


def _weight(clef: str, usual: str, notes: Sequence[tuple[int, int]]) -> int:
    total = 0
    for lowest, highest in notes:
        lines = ledger_lines(clef, lowest, highest)
        total += 4 * lines - 4 if lines >= 3 else lines // 2
        if clef != usual:
            total += 4 if ledger_lines(usual, lowest, highest) < 2 else 1
    return total
