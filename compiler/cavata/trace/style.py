"""How often a line would come in a piece of this style: the yardstick by which kinds of hits are compared.

A step is drawn half from what commonly follows the step before it, in `_FOLLOWS`, and half from the piece's own steps.
A yardstick only: it makes a rare line's one hit and a common line's twenty comparable, for the name and for its decoys
alike; no probability is read off it. In: sounds, and lines as `sounds.counted` takes them. Out: expected numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cavata.trace.find import WIDEST_WEAVE, most_inflected
from cavata.trace.hits import Closeness, Kind, Spacing
from cavata.trace.sounds import Floats, Ints, Lines, Sounds, chord_masks, in_form

_WIDEST = 12
"""Steps wider than an octave are taken for an octave."""
_STEPS = 2 * _WIDEST + 1

_FOLLOWS = """
84 2 0 0 2 12 0 0 2 5 27 39 390 95 191 135 236 325 3 88 6 49 29 1 426
0 0 0 0 0 0 0 0 2 0 0 6 7 4 18 0 11 3 3 4 0 9 0 4 31
7 0 0 0 0 0 0 1 3 4 19 0 43 32 24 24 0 55 0 14 35 31 25 0 49
0 0 2 0 2 9 0 0 1 19 32 73 91 34 81 23 36 47 2 56 0 41 7 2 8
2 0 0 1 2 0 0 3 69 0 94 15 72 170 28 123 2 41 1 5 143 0 3 0 14
4 0 0 0 0 13 0 76 10 67 87 134 803 42 641 156 371 476 8 430 29 105 48 8 396
0 2 0 8 0 0 0 0 12 14 7 32 45 170 13 41 8 13 10 4 14 6 1 0 5
4 0 1 0 0 84 0 29 40 574 366 28 777 313 980 238 161 1052 8 163 59 112 23 2 132
9 0 3 0 9 10 5 260 6 529 143 739 1174 124 1613 32 1252 737 3 383 34 106 30 0 175
0 6 0 11 4 53 39 105 1614 371 2159 120 902 1568 1160 2062 33 769 33 140 377 13 28 3 99
117 4 8 26 68 287 16 537 66 1941 9256 8074 3549 120 5849 1227 1315 1226 43 753 46 167 98 31 401
77 7 0 50 8 95 21 70 1386 68 8029 325 1572 5442 224 1880 119 465 116 28 226 28 30 0 110
300 32 38 59 93 712 58 650 556 1308 3533 2719 12080 1536 3209 859 832 1446 61 510 156 206 134 33 398
404 3 29 84 160 193 144 1250 222 1972 346 3873 2206 858 5233 273 624 177 12 187 21 78 18 8 142
272 14 30 86 10 998 27 483 2021 1398 5540 139 2423 6687 6874 1199 38 432 7 50 88 7 26 0 52
167 0 62 9 52 432 34 364 21 1880 1680 1797 1013 76 972 179 235 589 31 22 0 27 4 4 23
207 10 32 87 19 121 9 67 1021 47 1658 128 546 945 109 813 11 170 0 0 45 0 0 0 11
162 0 18 10 152 427 20 743 128 616 1192 1176 1782 46 799 171 579 137 2 128 6 4 12 0 64
4 2 0 3 4 6 21 3 8 17 34 62 117 35 16 31 0 0 0 0 0 0 0 0 0
88 4 10 9 25 433 1 71 83 447 483 102 639 82 284 53 19 140 0 10 7 11 1 0 1
19 2 56 0 135 21 1 207 10 157 47 280 182 27 125 0 27 6 0 2 0 4 0 0 0
6 12 19 103 0 22 0 34 145 11 217 22 203 86 59 41 0 7 10 4 5 0 2 0 0
9 0 52 1 0 4 0 13 2 71 66 158 89 0 28 5 8 4 7 0 0 2 0 0 0
2 0 0 0 2 0 0 0 1 0 25 2 7 45 2 7 0 2 0 0 0 0 0 0 0
288 2 4 12 15 66 10 100 83 148 358 384 717 83 194 57 57 16 2 2 0 0 0 0 0
"""
"""How often each step from an octave down to an octave up (columns) followed each (rows) in 100,000 notes of chorales,
quartets, madrigals, masses and dances; `tests/bench/trace_style.py` counts them."""


def _follows() -> Floats:
    rows = np.array([row.split() for row in _FOLLOWS.strip().splitlines()], np.float64) + 0.5
    return np.asarray(rows / rows.sum(1, keepdims=True))


def _place(steps: Ints) -> Ints:
    return np.clip(steps, -_WIDEST, _WIDEST) + _WIDEST


def _folded(shares: Floats) -> Floats:
    """Shares of steps, the last axis, as shares of steps modulo an octave."""
    folded = np.zeros((*shares.shape[:-1], 12))
    for place in range(_STEPS):
        folded[..., (place - _WIDEST) % 12] += shares[..., place]
    return folded


@dataclass(frozen=True)
class Style:
    """The style of one file."""

    sounds: Sounds

    @cached_property
    def classes(self) -> Floats:
        """How often each pitch class comes; none never."""
        counts = np.bincount(self.sounds.keys % 12, minlength=12) + 0.5
        return np.asarray(counts / counts.sum())

    def steps(self, stride: int = 1) -> Floats:
        """How often each step between notes so far apart comes; none never."""
        begins = np.flatnonzero(self.sounds.room > stride)
        steps = self.sounds.keys[begins + stride] - self.sounds.keys[begins]
        usual = _follows().mean(0)
        counts = np.bincount(_place(steps), minlength=_STEPS) + 12 * usual
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
        for place in range(_STEPS):
            folded[(place - _WIDEST) % 12] += own[place] * rows[place]
        return np.asarray(folded / folded.sum(1, keepdims=True))

    def expected(self, kind: Kind, keys: Ints, between: int = 0) -> Floats:
        """How often each line would come so by the yardstick."""
        lines, notes = in_form(keys, kind.form), keys.shape[1]
        windows = int(self.sounds.starts(notes).sum())
        match kind.spacing:
            case Spacing.CHORD:
                return self._chords(keys)
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

    def _line(self, lines: Lines) -> Floats:
        places = _place(lines.steps)
        share = self.steps()[places[:, 0]]
        for k in range(1, places.shape[1]):
            share = share * self.follows[places[:, k - 1], places[:, k]]
        return share

    def _line_folded(self, lines: Lines) -> Floats:
        places = lines.steps % 12
        share = _folded(self.steps())[places[:, 0]]
        for k in range(1, places.shape[1]):
            share = share * self.follows_folded[places[:, k - 1], places[:, k]]
        return share

    def _at_pitch(self, lines: Lines) -> Floats:
        """Which part of a line's places is at its own pitch: its notes against those of its transpositions."""
        logs = np.log(self.classes)
        fit = np.stack([logs[(lines.keys + up) % 12].sum(1) for up in range(12)])
        return np.asarray(1 / np.exp(fit - fit[0]).sum(0))

    def _apart(self, lines: Lines, strides: range) -> Floats:
        """With every way of standing counted: a bound from above."""
        shares = sum((_folded(self.steps(stride)) for stride in strides), np.zeros(12))
        return np.asarray(shares[lines.steps % 12].prod(1))

    def _woven(self, lines: Lines, closeness: Closeness) -> Floats:
        often = np.zeros(len(lines.first))
        for stride in range(2, WIDEST_WEAVE + 1):
            steps = self.steps(stride)
            share = (_folded(steps)[lines.steps % 12] if closeness is Closeness.OCTAVES
                     else steps[_place(lines.steps)]).prod(1)  # fmt: skip
            often += share * int(self.sounds.starts(lines.keys.shape[1], stride).sum())
        return often * self._at_pitch(lines) if closeness is Closeness.AT_PITCH else often

    def _inflected(self, lines: Lines, begins: Floats, most: int) -> Floats:
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

    def _chords(self, keys: Ints) -> Floats:
        """Chords of the same build on any note, and which part of them would stand on this one."""
        masks = chord_masks(keys)
        logs = np.log(self.classes)
        found, fit = np.full(len(masks), 0.5), np.zeros((12, len(masks)))
        for up in range(12):
            turned = (masks << up | masks >> (12 - up)) & 4095
            found += np.fromiter((self.sounds.chords[mask] for mask in turned.tolist()), np.float64, len(masks))
            fit[up] = sum((turned >> pc & 1) * logs[pc] for pc in range(12))
        return np.asarray(found / np.exp(fit - fit[0]).sum(0))

    def _split(self, lines: Lines) -> Floats:
        begun = self.sounds.begun
        shares = np.array([(int((begun >> pc & 1).sum()) + 0.5) / (len(begun) + 1) for pc in range(12)])
        return np.asarray(len(begun) * shares[lines.keys % 12].prod(1))
