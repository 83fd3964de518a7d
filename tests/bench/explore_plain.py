"""The same search as one would write it in plain Python: one reading after another, each judged by itself.

It is the oracle of the tests and the baseline of `explore_speed.py`. Nothing in it comes from the search but the value
types: intervals are named by `music.pitch`, and every rule is written out again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise, product
from math import sqrt

from cavata.explore.criteria import HARSHNESS, Wishes
from cavata.explore.space import NameStem, SearchLimits
from cavata.music.pitch import Pitch
from cavata.study.reading import PROFILES

ORDER = (1, -1)
"""Raised, lowered."""
KEYS = [[float(p[(n - tonic) % 12]) for n in range(12)] for p in PROFILES.values() for tonic in range(12)]
Line = tuple[Pitch, ...]
Plain = tuple[Line, int]
"""The notes, and how many of them are inflected."""
LESS = frozenset(
    ("few-inflections", "singable", "few-awkward-leaps", "in-mode", "consonant", "comfortable", "near", "opening")
)


def readings(stem: NameStem, limits: SearchLimits) -> Iterator[Plain]:
    """Every reading, in the order that the search promises."""
    width = len(stem.pitches)
    inflected = []
    for changes in product((0, 1, -1), repeat=width):
        alters = tuple(pitch.alter + change for pitch, change in zip(stem.pitches, changes, strict=True))
        places = tuple(n for n in range(width) if changes[n])
        if len(places) <= limits.inflections and all(abs(alters[n]) <= 1 for n in places):
            inflected.append((len(places), places, tuple(ORDER.index(changes[n]) for n in places), alters))
    shifted = []
    reach = range(limits.lowest_octave - 9, limits.highest_octave + 10)
    for shifts in _shifts(stem, limits, reach):
        octave_leaps = sum(a != b for a, b in pairwise(shifts))
        shifted.append((octave_leaps, sum(abs(s) for s in shifts), shifts))
    for count, _, _, alters in sorted(inflected):
        for _, _, shifts in sorted(shifted):
            yield tuple(
                Pitch(p.position + 7 * s, a) for p, a, s in zip(stem.pitches, alters, shifts, strict=True)
            ), count


def _shifts(stem: NameStem, limits: SearchLimits, reach: range) -> list[tuple[int, ...]]:
    rows: list[tuple[int, ...]] = [()]
    for pitch in stem.pitches:
        rows = [
            (*row, shift)
            for row in rows
            for shift in reach
            if limits.lowest_octave <= pitch.octave + shift <= limits.highest_octave
        ]
        rows = [row for row in rows if sum(a != b for a, b in pairwise(row)) <= limits.octave_leaps]
    return rows


@lru_cache(maxsize=4096)
def is_awkward(first: Pitch, second: Pitch) -> bool:
    """Whether a leap is augmented or diminished, by the name that the trade gives it."""
    interval = second - first
    if interval.steps == 0 and interval.semitones < 0:
        interval = -interval
    return not str(interval).startswith(("P", "M", "m"))


def key_fit(line: Line) -> float:
    heard = [0.0] * 12
    for pitch in line:
        heard[pitch.midi % 12] += 1
    mean = sum(heard) / 12
    spread = sum((h - mean) ** 2 for h in heard)
    if not spread:
        return 0.0
    best = -1.0
    for profile in KEYS:
        middle = sum(profile) / 12
        shared = sum((h - mean) * (p - middle) for h, p in zip(heard, profile, strict=True))
        best = max(best, shared / sqrt(spread * sum((p - middle) ** 2 for p in profile)))
    return best


def dissonance(line: Line) -> int:
    classes = sorted({pitch.midi % 12 for pitch in line})
    return sum(HARSHNESS[min(b - a, 12 - b + a)] for i, a in enumerate(classes) for b in classes[i + 1 :])


def judged(reading: Plain, criteria: Sequence[str], wishes: Wishes) -> tuple[float, ...]:
    """A reading's numbers, rounded."""
    line, inflected = reading
    keys = [pitch.midi for pitch in line]
    steps = [b - a for a, b in pairwise(keys)]
    found: list[float] = []
    for name in criteria:
        match name:
            case "few-inflections":
                found.append(inflected)
            case "singable":
                found.append(sum(abs(step) for step in steps))
            case "few-awkward-leaps":
                found.append(sum(is_awkward(a, b) for a, b in pairwise(line)))
            case "key":
                found.append(key_fit(line))
            case "in-mode":
                assert wishes.mode is not None
                inside = {degree.semitone for degree in wishes.mode.degrees}
                found.append(sum(key % 12 not in inside for key in keys))
            case "variety":
                found.append(len({key % 12 for key in keys}))
            case "consonant" | "dissonant":
                found.append(dissonance(line))
            case "comfortable":
                assert wishes.comfortable is not None
                low, high = wishes.comfortable
                found.append(sum(max(low - key, key - high, 0) for key in keys))
            case "near":
                wanted = [b - a for a, b in pairwise(wishes.near)]
                found.append(sum(abs(a - b) for a, b in zip(steps, wanted, strict=False)))
            case "opening":
                assert wishes.opening is not None
                found.append(abs(steps[0] - wishes.opening) if steps else 0)
    return tuple(round(value, 9) for value in found)


def beats(one: Sequence[float], other: Sequence[float]) -> bool:
    """At least as good in all, better in one; less is better."""
    better = False
    for a, b in zip(one, other, strict=True):
        if a > b:
            return False
        better = better or a < b
    return better


def usual(weights: Mapping[str, float], name: str) -> float:
    return weights.get(name, 0.0) if weights else 1.0


def search(
    stems: Sequence[NameStem],
    limits: SearchLimits,
    criteria: Sequence[str],
    wishes: Wishes,
    allowed: Callable[[Plain], bool],
    weights: Mapping[str, float],
) -> list[tuple[Line, tuple[float, ...], float]]:
    """The readings that nothing beats, in the order of the preferences: notes, numbers, score."""
    front: list[tuple[Line, tuple[float, ...], tuple[float, ...]]] = []
    for stem in stems:
        for reading in readings(stem, limits):
            if not allowed(reading):
                continue
            values = judged(reading, criteria, wishes)
            costs = tuple(v if c in LESS else -v for c, v in zip(criteria, values, strict=True))
            if any(beats(other, costs) for _, _, other in front):
                continue
            front = [kept for kept in front if not beats(costs, kept[2])]
            front.append((reading[0], values, costs))
    scored = []
    for line, values, costs in front:
        total = 0.0
        for column, name in enumerate(criteria):
            every = [other[column] for _, _, other in front]
            best, worst = min(every), max(every)
            near = (worst - costs[column]) / (worst - best) if worst > best else 1.0
            total += near * usual(weights, name)
        scored.append((line, values, round(total / (sum(usual(weights, c) for c in criteria) or 1.0), 9)))
    return sorted(scored, key=lambda found: -found[2])
