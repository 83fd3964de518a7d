"""How often a line would come in a piece of this style: the yardstick by which kinds of hits are compared.

A step is drawn half from what commonly follows the step before it, in `_FOLLOWS`, and half from the piece's own steps.
A yardstick only: it makes a rare line's one hit and a common line's twenty comparable, for the name and for its decoys
alike; no probability is read off it. In: sounds, and lines as `sounds.counted` takes them. Out: expected numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from cavata.trace.find import WIDEST_WEAVE, most_inflected
from cavata.trace.hits import Closeness, HitKind, Spacing
from cavata.trace.sounds import (
    STEPS,
    WIDEST,
    Countable,
    Floats,
    Ints,
    LineBatch,
    Sounds,
    chord_masks,
    in_form,
    places_of,
)

_FOLLOWS = """
22 1 0 0 4 8 6 5 5 13 48 69 352 82 208 52 174 337 16 70 15 32 43 3 667
0 0 0 0 4 0 4 1 2 4 3 9 23 14 16 14 45 11 13 1 0 9 2 2 31
6 0 0 0 0 2 0 0 1 1 36 0 39 17 45 30 8 38 11 50 31 41 29 0 28
0 0 0 0 0 4 0 3 1 17 41 77 113 31 95 14 32 68 2 75 8 39 9 10 40
1 0 0 1 0 3 0 2 51 2 96 5 88 220 24 125 0 35 3 3 79 1 3 0 5
16 0 6 0 0 18 3 37 12 65 91 125 712 65 626 116 351 493 18 379 19 120 30 5 265
0 0 0 0 0 1 0 0 12 38 24 48 51 176 20 32 7 22 20 10 5 14 0 1 4
6 0 0 0 4 84 2 20 56 584 367 31 818 377 773 262 93 910 11 141 48 137 41 0 112
12 0 8 0 12 25 3 331 17 615 173 763 1135 175 1429 33 803 599 7 443 10 74 39 10 198
12 15 9 34 2 99 67 108 1507 580 2308 143 1239 1509 1061 1352 55 702 60 143 407 35 20 2 106
138 9 28 25 82 287 24 566 72 2094 9045 8200 4358 216 5625 646 882 1297 33 692 40 186 98 19 468
71 23 0 45 11 132 24 70 1216 61 7796 569 1807 5548 278 1274 105 522 104 57 272 41 40 11 149
227 16 51 52 74 653 46 661 587 1283 4229 2721 12663 1794 3579 1000 911 1507 58 623 138 189 91 20 458
328 14 45 81 117 245 139 1000 344 1933 554 3789 2324 1024 5484 271 613 189 26 163 18 101 21 20 163
248 18 24 137 8 947 30 466 1946 1422 5569 195 2786 6334 6726 1232 75 432 19 75 71 16 28 0 65
169 31 63 19 70 300 56 374 5 1219 1117 1276 1147 200 1029 239 183 716 36 14 2 29 6 1 7
26 38 3 90 7 97 3 60 700 27 1176 86 581 931 65 1110 24 174 4 1 29 0 1 0 4
233 7 16 16 180 337 17 679 142 601 1298 1179 1675 66 871 172 687 101 8 96 9 15 3 1 93
10 2 0 3 1 3 37 2 4 77 27 86 78 48 24 56 1 7 0 0 0 0 2 0 0
117 0 2 12 39 310 3 88 87 416 634 92 629 90 296 98 15 143 0 15 3 2 4 0 7
20 0 62 5 91 12 3 182 19 131 55 269 144 42 122 3 38 4 0 2 0 1 1 0 0
21 11 15 150 1 20 6 21 134 20 296 33 130 112 50 64 0 6 0 2 2 0 2 0 5
6 0 65 3 4 5 6 18 6 93 59 135 49 4 45 0 2 4 0 2 0 0 0 0 0
6 8 0 0 0 1 0 0 5 0 23 3 7 46 3 3 0 3 0 0 0 0 0 0 0
569 12 17 12 32 65 12 105 90 227 459 363 524 72 192 45 49 31 15 3 0 3 1 0 1
"""
"""How often each step from an octave down to an octave up (columns) followed each (rows) in chorales, quartets,
madrigals, masses, songs and dances; `tests/bench/trace_style.py` counts them."""


@cache
def _follows() -> Floats:
    rows = np.array([row.split() for row in _FOLLOWS.strip().splitlines()], np.float64) + 0.5
    return np.asarray(rows / rows.sum(1, keepdims=True))


def _folded(shares: Floats) -> Floats:
    """Shares of steps, the last axis, as shares of steps modulo an octave."""
    folded = np.zeros((*shares.shape[:-1], 12))
    for place in range(STEPS):
        folded[..., (place - WIDEST) % 12] += shares[..., place]
    return folded


@dataclass(frozen=True)
class Style:
    """The style of one file."""

    sounds: Countable

    @cached_property
    def classes(self) -> Floats:
        """How often each pitch class comes; none never."""
        counts = self.sounds.classes() + 0.5
        return np.asarray(counts / counts.sum())

    @cached_property
    def _steps(self) -> dict[int, Floats]:
        return {}

    def steps(self, stride: int = 1) -> Floats:
        """How often each step between notes so far apart comes; none never."""
        if stride not in self._steps:
            self._steps[stride] = self._counted_steps(stride)
        return self._steps[stride]

    def _counted_steps(self, stride: int) -> Floats:
        counts = self.sounds.steps(stride) + 12 * _follows().mean(0)
        return np.asarray(counts / counts.sum())

    @cached_property
    def follows(self) -> Floats:
        """How often each step follows each: rows the step before, columns the step."""
        return 0.5 * _follows() + 0.5 * self.steps()

    @cached_property
    def follows_folded(self) -> Floats:
        """The same with octaves left out of both steps."""
        own = self.steps()
        folded = np.zeros((12, 12))
        rows = _folded(self.follows)
        for place in range(STEPS):
            folded[(place - WIDEST) % 12] += own[place] * rows[place]
        return np.asarray(folded / folded.sum(1, keepdims=True))

    def expected(self, kind: HitKind, keys: Ints, between: int = 0) -> Floats:
        """How often each line would come so by the yardstick."""
        lines, notes = in_form(keys, kind.form), keys.shape[1]
        windows = self.sounds.windows(notes)
        match kind.spacing:
            case Spacing.CHORD:
                return self._chords[chord_masks(keys)]
            case Spacing.SPLIT:
                return self._split(lines) + windows * self._line(lines) * self._at_pitch(lines)
            case Spacing.BETWEEN:
                often = windows * self._apart(lines, range(1, between + 2))
                return often * self.classes[lines.first % 12] if kind.closeness is Closeness.AT_PITCH else often
            case Spacing.WOVEN:
                return self._woven(lines, kind.closeness)
            case Spacing.ADJACENT:
                pass
        match kind.closeness:
            case Closeness.AT_PITCH:
                return windows * self._line(lines) * self._at_pitch(lines)
            case Closeness.TRANSPOSED:
                return windows * self._line(lines)
            case Closeness.OCTAVES:
                return windows * self._line_folded(lines)
            case Closeness.CLASSES:
                return windows * self._line_folded(lines) * self._at_pitch(lines)
            case Closeness.INFLECTED:
                return windows * self._inflected(lines, self.classes, notes)
            case Closeness.MOVED_INFLECTED:
                return windows * self._inflected(lines, np.ones(12), most_inflected(notes))

    def _line(self, lines: LineBatch) -> Floats:
        places = places_of(lines.steps)
        share = self.steps()[places[:, 0]]
        for k in range(1, places.shape[1]):
            share = share * self.follows[places[:, k - 1], places[:, k]]
        return share

    def _line_folded(self, lines: LineBatch) -> Floats:
        places = lines.steps % 12
        share = _folded(self.steps())[places[:, 0]]
        for k in range(1, places.shape[1]):
            share = share * self.follows_folded[places[:, k - 1], places[:, k]]
        return share

    def _at_pitch(self, lines: LineBatch) -> Floats:
        """Which part of a line's places is at its own pitch: its notes against those of its transpositions."""
        logs = np.log(self.classes)
        fit = np.stack([logs[(lines.keys + up) % 12].sum(1) for up in range(12)])
        return np.asarray(1 / np.exp(fit - fit[0]).sum(0))

    def _apart(self, lines: LineBatch, strides: range) -> Floats:
        """With every way of standing counted: a bound from above."""
        shares = sum((_folded(self.steps(stride)) for stride in strides), np.zeros(12))
        return np.asarray(shares[lines.steps % 12].prod(1))

    def _woven(self, lines: LineBatch, closeness: Closeness) -> Floats:
        often = np.zeros(len(lines.first))
        for stride in range(2, WIDEST_WEAVE + 1):
            steps = self.steps(stride)
            share = (_folded(steps)[lines.steps % 12] if closeness is Closeness.OCTAVES
                     else steps[places_of(lines.steps)]).prod(1)  # fmt: skip
            often += share * self.sounds.windows(lines.keys.shape[1], stride)
        return often * self._at_pitch(lines) if closeness is Closeness.AT_PITCH else often

    def _inflected(self, lines: LineBatch, begins: Floats, most: int) -> Floats:
        """Each way in which the notes may lie, a semitone off or not, followed from note to note.

        `begins` says how often the first note is each pitch class; at most `most` notes are off.
        """
        every = len(lines.first)
        ways = {(off, int(off != 0)): begins[(lines.first + off) % 12] for off in (-1, 0, 1)}
        steps = _folded(self.steps())
        for k in range(lines.steps.shape[1]):
            following: dict[tuple[int, int], Floats] = {}
            for (was, count), often in ways.items():
                for now in (-1, 0, 1):
                    if count + (now != 0) <= most:
                        share = often * steps[(lines.steps[:, k] + now - was) % 12]
                        key = (now, count + (now != 0))
                        following[key] = following.get(key, np.zeros(every)) + share
            ways = following
        least = 1 if most < lines.keys.shape[1] else 0
        return np.asarray(sum((often for (_, count), often in ways.items() if count >= least), np.zeros(every)))

    @cached_property
    def _chords(self) -> Floats:
        """For each set of pitch classes: the chords of its build on any note, and what part would stand on this one."""
        assert isinstance(self.sounds, Sounds)  # in anything else whole lines alone are counted
        masks = np.arange(1 << 12)
        logs = np.log(self.classes)
        found, fit = np.full(len(masks), 0.5), np.zeros((12, len(masks)))
        for up in range(12):
            turned = (masks << up | masks >> (12 - up)) & 4095
            found += self.sounds.chords[turned]
            fit[up] = sum((turned >> pc & 1) * logs[pc] for pc in range(12))
        return np.asarray(found / np.exp(fit - fit[0]).sum(0))

    def _split(self, lines: LineBatch) -> Floats:
        assert isinstance(self.sounds, Sounds)
        begun = self.sounds.begun
        shares = np.array([(int((begun >> pc & 1).sum()) + 0.5) / (len(begun) + 1) for pc in range(12)])
        return np.asarray(len(begun) * shares[lines.keys % 12].prod(1))
