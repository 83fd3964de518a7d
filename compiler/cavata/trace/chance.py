"""How many hits chance would give: the null model, and the tail of its distribution.

The null model: each line is as long as it is and begins where it likes, and its steps are drawn independently from the
frequencies of all steps between neighbouring notes of the same piece. A first-order Markov chain would follow style
more closely, but in one piece a name's own few steps fill its table, and the name would vouch for itself. Hits are then
nearly a Poisson process; `expected` is its mean. What it is not: it knows of no meter, no harmony and no cadence.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from cavata.music.pitch import PitchClass
from cavata.trace.heard import HeardNote

Frequencies = Mapping[int, float]


@dataclass(frozen=True)
class NullModel:
    """The statistics of one piece."""

    segments: tuple[tuple[HeardNote, ...], ...]
    """The stretches of single notes in which a line may be looked for."""

    @cached_property
    def steps(self) -> Frequencies:
        """How often each step in semitones comes."""
        return _frequencies(
            later.pitches[0].midi - earlier.pitches[0].midi
            for segment in self.segments
            for earlier, later in zip(segment, segment[1:], strict=False)
        )

    @cached_property
    def letter_steps(self) -> Frequencies:
        """How often each step on the staff comes, octaves left out."""
        return _frequencies(
            (later.pitches[0].position - earlier.pitches[0].position) % 7
            for segment in self.segments
            for earlier, later in zip(segment, segment[1:], strict=False)
        )

    @cached_property
    def classes(self) -> Frequencies:
        """How often each pitch class comes."""
        return _frequencies(note.pitches[0].midi % 12 for segment in self.segments for note in segment)

    @cached_property
    def spellings(self) -> Counter[tuple[int, int]]:
        """How often each letter comes with each alteration."""
        return Counter((n.pitches[0].letter, n.pitches[0].alter) for segment in self.segments for n in segment)

    def sums(self, count: int) -> Frequencies:
        """How often so many steps together make each interval."""
        total: dict[int, float] = {0: 1.0}
        for _ in range(count):
            following: dict[int, float] = {}
            for made, share in total.items():
                for step, often in self.steps.items():
                    following[made + step] = following.get(made + step, 0.0) + share * often
            total = following
        return total

    def windows(self, notes: int) -> int:
        """In how many places a run of so many notes can begin."""
        return sum(max(len(segment) - notes + 1, 0) for segment in self.segments)

    def expected_line(self, steps: Sequence[int], stride: int = 1, octaves: bool = False) -> float:
        """How often a shape comes whose notes stand `stride` notes apart, at any pitch; `octaves`: in any octave."""
        often = self.sums(stride)
        if octaves:
            often = _folded(often)
            steps = [step % 12 for step in steps]
        return self.windows(len(steps) * stride + 1) * math.prod(often.get(step, 0.0) for step in steps)

    def expected_between(self, steps: Sequence[int], most: int, octaves: bool = True) -> float:
        """How often with up to `most` notes between neighbours, every way of standing counted: a bound from above."""
        gaps = [self.sums(count) for count in range(1, most + 2)]
        if octaves:
            gaps = [_folded(often) for often in gaps]
            steps = [step % 12 for step in steps]
        return self.windows(len(steps) + 1) * math.prod(sum(often.get(step, 0.0) for often in gaps) for step in steps)

    def expected_inflected(self, letters: Sequence[PitchClass]) -> float:
        """How often the letters come, each within a semitone of its alteration."""
        share = self._letter_share(letters[0])
        for earlier, later in zip(letters, letters[1:], strict=False):
            share *= self.letter_steps.get((later.letter - earlier.letter) % 7, 0.0)
        for wanted in letters:
            share *= self._near_share(wanted)
        return self.windows(len(letters)) * share

    def expected_moved_inflected(self, letters: Sequence[PitchClass], most: int) -> float:
        """How often the letters come on other letters, one to `most` of them a semitone off.

        Steps are drawn as pairs of staff step and semitones. Most notes are plain, so there is one transposition that
        they are plain at; each way in which the first note can lie to it is followed through the steps.
        """
        share = 0.0
        for first in (-1, 0, 1):
            off = {(first, int(first != 0)): 1.0}
            for earlier, later in zip(letters, letters[1:], strict=False):
                off = self._further_off(off, earlier, later, most)
            share += sum(often for (_, count), often in off.items() if count)
        return self.windows(len(letters)) * share * (1 - self._letter_share(letters[0]))

    def _further_off(
        self, off: Mapping[tuple[int, int], float], earlier: PitchClass, later: PitchClass, most: int
    ) -> dict[tuple[int, int], float]:
        """One step on: how far off the note is, how many were so far, and how often."""
        following: dict[tuple[int, int], float] = {}
        steps, wanted = (later.letter - earlier.letter) % 7, later.semitone - earlier.semitone
        for (was, count), often in off.items():
            for now in (-1, 0, 1):
                share = often * self.spelled_steps.get((steps, (wanted + now - was) % 12), 0.0)
                if share and count + (now != 0) <= most:
                    key = (now, count + (now != 0))
                    following[key] = following.get(key, 0.0) + share
        return following

    @cached_property
    def spelled_steps(self) -> Mapping[tuple[int, int], float]:
        """How often each step comes, as steps on the staff and semitones, octaves left out of both."""
        counts = Counter(
            ((b.pitches[0].position - a.pitches[0].position) % 7, (b.pitches[0].midi - a.pitches[0].midi) % 12)
            for segment in self.segments
            for a, b in zip(segment, segment[1:], strict=False)
        )
        every = sum(counts.values())
        return {step: count / every for step, count in sorted(counts.items())}

    def _letter_share(self, wanted: PitchClass) -> float:
        every = sum(self.spellings.values())
        return sum(n for (letter, _), n in self.spellings.items() if letter == wanted.letter) / every if every else 0.0

    def _near_share(self, wanted: PitchClass) -> float:
        own = {alter: n for (letter, alter), n in self.spellings.items() if letter == wanted.letter}
        near = sum(n for alter, n in own.items() if abs(alter - wanted.alter) <= 1)
        return near / sum(own.values()) if own else 0.0


def at_least(found: int, expected: float) -> float:
    """The chance that a Poisson variable of that mean is `found` or more."""
    if found <= 0:
        return 1.0
    if expected <= 0:
        return 0.0
    if found > expected + 40 * math.sqrt(expected) + 40:
        return 0.0
    # The tail itself is summed, so that small chances keep their digits.
    term = math.exp(found * math.log(expected) - expected - math.lgamma(found + 1))
    total, k = term, found
    while term > total * 1e-17 or k < expected:
        k += 1
        term *= expected / k
        total += term
    return min(total, 1.0)


def _frequencies(values: Iterable[int]) -> Frequencies:
    counts = Counter(values)
    every = sum(counts.values())
    return {value: count / every for value, count in sorted(counts.items())}


def _folded(often: Frequencies) -> Frequencies:
    folded: dict[int, float] = {}
    for step, share in often.items():
        folded[step % 12] = folded.get(step % 12, 0.0) + share
    return folded
