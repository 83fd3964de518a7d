"""All readings of a name within limits, the set that nothing beats, and its order by the composer's preferences.

In: stems, limits, criteria, requirements, weights. Out: an `Explored`, or a `NothingLeft` that tells which requirement
keeps most readings out. A reading's place is its weighted mean over the criteria, each counted from 0 for the worst to
1 for the best of the set that nothing beats; without preferences all weigh the same, else what is not preferred weighs
nothing. Equal places keep the order of the search. Same input, same order.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from cavata.explore.criteria import CRITERIA, DIGITS, ReadingArrays, Wishes, scores
from cavata.explore.require import Requirement
from cavata.explore.space import NameStem, SearchLimits, Space, space_of
from cavata.music.pitch import Pitch
from cavata.record import record

# ----------------------------------------------------------------
# The rows of a table that no other row beats.
#
# A row beats another if it is at least as good in every column and better in one. Every column counts downward:
# less is
# better. Equal rows do not beat one another, so all of them stand.


def unbeaten(columns: Sequence[NDArray[np.float64]]) -> NDArray[np.intp]:
    """The numbers of the rows that nothing beats, rising; a table without rows gives none.

    What beats a row has the smaller sum, so of the rows that are left the one with the least sum is always unbeaten;
    it is taken out together with its equals and all that it beats. Numbers must be so coarse that sums keep their
    differences: counts, and values rounded to 1e-9.
    """
    left = np.arange(len(columns[0]))
    sums = np.sum(columns, axis=0)
    found: list[NDArray[np.intp]] = []
    while len(left):
        best = int(sums.argmin())
        better = np.zeros(len(left), np.bool_)
        equal = sums == sums[best]
        for column in columns:
            better |= column < column[best]
            equal &= column == column[best]
        found.append(left[equal])
        columns = [column[better] for column in columns]
        left, sums = left[better], sums[better]
    return np.sort(np.concatenate(found)) if found else left


# ----------------------------------------------------------------

MOST_READINGS = 1_000_000
"""Of one name; beyond that the tables would not fit a small machine's memory."""


@record
class Candidate:
    """A reading that nothing beats."""

    space: Space
    index: int
    values: tuple[float, ...]
    """By the criteria, in their order."""
    score: float
    """From 0 to 1."""
    best_in: tuple[str, ...]
    """The criteria in which no other of the set does better."""

    @property
    def line(self) -> tuple[Pitch, ...]:
        """Its notes."""
        return self.space.line(self.index)


@record
class Explored:
    """What was found for one name."""

    name: str
    criteria: tuple[str, ...]
    readings: int
    allowed: int
    ranked: tuple[Candidate, ...]
    """The set that nothing beats, the first by the preferences first."""
    spaces: tuple[Space, ...]
    kept: tuple[NDArray[np.intp], ...]
    """For each space its readings that the requirements allow."""


@record
class NothingLeft:
    """No reading meets every requirement."""

    name: str
    readings: int
    excluded: tuple[tuple[str, int], ...]
    """How many readings each requirement keeps out by itself."""


def explore(
    stems: Sequence[NameStem],
    limits: SearchLimits,
    criteria: tuple[str, ...],
    wishes: Wishes,
    required: Sequence[Requirement],
    weights: Mapping[str, float],
    told: Callable[[int], None] | None = None,
) -> Explored | NothingLeft:
    """Look at every reading; `told` is called with how many have been looked at."""
    spaces = [space for stem in stems if len(space := space_of(stem, limits))]
    excluded = dict.fromkeys((requirement.text for requirement in required), 0)
    kept, tables, seen = [], [], 0
    for space in spaces:
        good = _allowed(space, required, excluded)
        kept.append(good)
        table = scores(space, criteria, wishes)
        tables.append(table if len(good) == len(space) else table[:, good])
        seen += len(space)
        if told is not None:
            told(seen)
    name = stems[0].name
    if not any(len(good) for good in kept):
        return NothingLeft(name, seen, tuple(sorted(excluded.items(), key=lambda pair: -pair[1])))
    table = np.concatenate(tables, axis=1) if len(tables) > 1 else tables[0]
    signs = np.array([1.0 if CRITERIA[c].less_is_better else -1.0 for c in criteria])
    front = unbeaten(tuple(row if CRITERIA[c].less_is_better else -row for c, row in zip(criteria, table, strict=True)))
    values = table.T[front]
    ranked = _ranked(values * signs, [weights.get(c, 0.0 if weights else 1.0) for c in criteria])
    places = np.concatenate([np.full(len(good), number) for number, good in enumerate(kept)])
    indices = np.concatenate(kept)
    best = (values * signs).min(axis=0)
    found = tuple(
        Candidate(
            spaces[places[front[row]]], int(indices[front[row]]), tuple(float(v) for v in values[row]), score,
            tuple(c for c, value, least in zip(criteria, values[row] * signs, best, strict=True) if value == least),
        )
        for row, score in ranked
    )  # fmt: skip
    return Explored(name, criteria, seen, table.shape[1], found, tuple(spaces), tuple(kept))


def _allowed(space: Space, required: Sequence[Requirement], excluded: dict[str, int]) -> NDArray[np.intp]:
    if not required:
        return np.arange(len(space))
    lines = ReadingArrays(space)
    good = np.ones(lines.shape, np.bool_)
    for requirement in required:
        one = np.broadcast_to(requirement.allows(space, lines), lines.shape)
        excluded[requirement.text] += len(space) - int(np.count_nonzero(one))
        good &= one
    return np.flatnonzero(good)


def _ranked(costs: NDArray[np.float64], weights: list[float]) -> list[tuple[int, float]]:
    """Rows of the set with their scores, the best first; less is better in every column."""
    best, worst = costs.min(axis=0), costs.max(axis=0)
    width = np.where(worst > best, worst - best, 1.0)
    near = np.where(worst > best, (worst - costs) / width, 1.0)
    total = np.zeros(len(costs))
    for column, weight in enumerate(weights):
        # Column by column, so that the sum is the same on every machine.
        total += near[:, column] * weight
    score = np.round(total / (sum(weights) or 1.0), DIGITS)
    return [(int(n), float(score[n])) for n in np.argsort(-score, kind="stable")]


def reason(candidate: Candidate, explored: Explored) -> str:
    """Why a reading stands where it does."""
    if candidate.best_in:
        return "best in " + ", ".join(candidate.best_in)
    near = max(range(len(explored.criteria)), key=lambda n: _nearness(candidate, explored, n))
    return f"best in nothing alone; nearest in {explored.criteria[near]}, and nothing beats it in all"


def _nearness(candidate: Candidate, explored: Explored, column: int) -> float:
    values = [other.values[column] for other in explored.ranked]
    low, high = min(values), max(values)
    if high == low:
        return 1.0
    near = (high - candidate.values[column]) / (high - low)
    return near if CRITERIA[explored.criteria[column]].less_is_better else 1 - near
