"""Every reading of a stem within limits: notes inflected, octaves moved.

In: a stem and limits. Out: a `Space`: rows of alterations and rows of octave shifts; a reading is one of each. The
inflections of a reading and its octaves do not hang on one another, so what rests on one of them is counted once.

The order is fixed: fewest inflections first, then by the notes inflected from the first on, sharp before flat before
natural; within that fewest jumps first, then nearest to where the cipher lays the line.
"""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from cavata.explore.stem import Stem
from cavata.music.pitch import Pitch
from cavata.record import dataclass

WORDS = {1: "sharp", -1: "flat", 0: "natural"}
"""The steps that inflect, by the alteration that they give."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How far the search goes."""

    inflections: int
    """How many notes may be inflected."""
    lowest_octave: int
    highest_octave: int
    """Octaves of scientific pitch notation in which every note must lie."""
    jumps: int
    """At how many places the line may leave the octave in which it would go on."""


@dataclass(frozen=True, slots=True)
class Space:
    """The readings of one stem."""

    stem: Stem
    alters: NDArray[np.int16]
    """A row for each way of inflecting, a column for each note: the alteration in semitones."""
    shifts: NDArray[np.int16]
    """A row for each way of laying the octaves: by how many each note is moved."""

    def __len__(self) -> int:
        return len(self.alters) * len(self.shifts)

    def line(self, index: int) -> tuple[Pitch, ...]:
        """The notes of a reading."""
        alters, shifts = self._rows(index)
        moved = zip(self.stem.pitches, alters, shifts, strict=True)
        return tuple(Pitch(pitch.position + 7 * shift, alter) for pitch, alter, shift in moved)

    def inflected(self, index: int) -> tuple[tuple[int, str], ...]:
        """The notes of a reading that are inflected, counted from 1, and how."""
        alters, _ = self._rows(index)
        pairs = enumerate(zip(self.stem.pitches, alters, strict=True), start=1)
        return tuple((number, WORDS[alter]) for number, (pitch, alter) in pairs if pitch.alter != alter)

    def runs(self, index: int) -> tuple[tuple[int, int], ...]:
        """The stretches of notes that are moved alike, first and last note, counted from 1."""
        _, shifts = self._rows(index)
        starts = [n for n in range(len(shifts)) if not n or shifts[n] != shifts[n - 1]]
        return tuple((a + 1, b) for a, b in zip(starts, [*starts[1:], len(shifts)], strict=True))

    def _rows(self, index: int) -> tuple[list[int], list[int]]:
        row, column = divmod(index, len(self.shifts))
        return [int(a) for a in self.alters[row]], [int(s) for s in self.shifts[column]]


def space_of(stem: Stem, limits: Limits) -> Space:
    """All readings of a stem."""
    width = len(stem.pitches)
    alters = np.array(inflections(stem, limits), np.int16).reshape(-1, width)
    shifts = np.array(octaves(stem, limits), np.int16).reshape(-1, width)
    return Space(stem, alters, shifts)


def reading_count(stem: Stem, limits: Limits) -> int:
    """How many readings there are, found without making them."""
    return _inflection_count(stem, limits) * sum(_shift_counts(stem, limits).values())


def inflections(stem: Stem, limits: Limits) -> list[tuple[int, ...]]:
    """Every way of inflecting up to so many notes."""
    usual = [pitch.alter for pitch in stem.pitches]
    others = [[alter for alter in WORDS if alter != now] for now in usual]
    rows: list[tuple[int, ...]] = []
    for count in range(min(limits.inflections, len(usual)) + 1):
        for chosen in combinations(range(len(usual)), count):
            for given in product(*(others[note] for note in chosen)):
                row = list(usual)
                for note, alter in zip(chosen, given, strict=True):
                    row[note] = alter
                rows.append(tuple(row))
    return rows


def octaves(stem: Stem, limits: Limits) -> list[tuple[int, ...]]:
    """Every way of moving runs of notes by octaves, with all notes inside the limits."""
    ranges = [
        range(limits.lowest_octave - pitch.octave, limits.highest_octave - pitch.octave + 1) for pitch in stem.pitches
    ]
    rows: list[tuple[tuple[int, ...], int]] = [((shift,), 0) for shift in ranges[0]]
    for wanted in ranges[1:]:
        rows = [
            ((*row, shift), jumps + (shift != row[-1]))
            for row, jumps in rows
            for shift in wanted
            if jumps + (shift != row[-1]) <= limits.jumps
        ]
    return [row for row, _ in sorted(rows, key=lambda pair: (pair[1], sum(map(abs, pair[0])), pair[0]))]


def _inflection_count(stem: Stem, limits: Limits) -> int:
    others = [len([alter for alter in WORDS if alter != pitch.alter]) for pitch in stem.pitches]
    ways = [1] + [0] * limits.inflections
    for other in others:
        ways = [ways[k] + (ways[k - 1] * other if k else 0) for k in range(len(ways))]
    return sum(ways)


def _shift_counts(stem: Stem, limits: Limits) -> dict[tuple[int, int], int]:
    """How many rows end in each shift with so many jumps."""
    counts: dict[tuple[int, int], int] = {}
    for place, pitch in enumerate(stem.pitches):
        wanted = range(limits.lowest_octave - pitch.octave, limits.highest_octave - pitch.octave + 1)
        if not place:
            counts = {(shift, 0): 1 for shift in wanted}
            continue
        following: dict[tuple[int, int], int] = {}
        for (last, jumps), ways in counts.items():
            for shift in wanted:
                now = jumps + (shift != last)
                if now <= limits.jumps:
                    following[shift, now] = following.get((shift, now), 0) + ways
        counts = following
    return counts
