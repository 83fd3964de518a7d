"""A score as arrays of key numbers, and how often each of very many lines lies in it.

In: heard scores, and lines of one length as rows of key numbers. Out: for each kind of hit how often each line has it;
a closer hit counts for the looser kinds too. All lines are counted at once: a window of the score is one number made
of its steps, and where a note may be another than the one wanted a whole column of windows is one row of bits.
Everything goes by sound: a note is the key that is played, whatever its spelling.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from cavata.foreign.heard import HeardScore
from cavata.trace.find import WIDEST_WEAVE, classes_of, moments, most_inflected, segments
from cavata.trace.hits import Closeness, HitKind, Spacing
from cavata.trace.subject import LineForm

Ints = NDArray[np.int64]
Bits = NDArray[np.uint64]
Floats = NDArray[np.float64]

WIDEST = 12
"""Steps wider than an octave are taken for an octave."""
STEPS = 2 * WIDEST + 1
_FACTOR, _PITCH = np.uint64(0x9E3779B97F4A7C15), np.uint64(0xC2B2AE3D27D4EB4F)
"""Odd numbers with their bits well mixed, by which windows become numbers; two different ones meet in 1 of 10^19."""
_TOGETHER = 4_000_000
"""Words of bits held at a time."""


@dataclass(frozen=True)
class Sounds:
    """The notes of one file."""

    keys: Ints
    """Of the single notes, line after line."""
    room: Ints
    """For each note how many notes its stretch still has, itself included."""
    begun: NDArray[np.uint16]
    """For each moment the pitch classes that begin, a bit each; an empty moment between pieces."""
    chords: Ints
    """For each set of three pitch classes or more, a bit each, at how many moments such a chord begins."""
    many: bool
    """Whether a piece has more than one line, so that something can be split."""
    seed: bytes = b""
    """By what decoys are drawn; empty: by the notes themselves."""

    @property
    def fingerprint(self) -> bytes:
        """What is the same for the same notes."""
        return self.seed or self.keys.tobytes()

    def classes(self) -> Ints:
        """How often each pitch class comes."""
        return np.bincount(self.keys % 12, minlength=12)

    def steps(self, stride: int = 1) -> Ints:
        """How often each step between notes so far apart comes, from an octave down to an octave up; wider ones count
        as these."""
        begins = np.flatnonzero(self.room > stride)
        return np.bincount(places_of(self.keys[begins + stride] - self.keys[begins]), minlength=STEPS)

    def windows(self, notes: int, stride: int = 1) -> int:
        """How many lines of so many notes, so far apart, there are."""
        return int(self.starts(notes, stride).sum())

    def exact(self, keys: Ints) -> Iterator[tuple[HitKind, Ints]]:
        """How often each of these lines comes as it is, at pitch and transposed."""
        return counted_exact(self, keys)

    @staticmethod
    def of(scores: Sequence[HeardScore], strict: bool = False, together: bool = True) -> Sounds:
        """The arrays of the pieces of a file; `strict`: a rest ends a line; without `together` lines only."""
        keys: list[int] = []
        room: list[int] = []
        begun: list[int] = []
        chords = no_chords()
        for score in scores:
            for segment in segments(score, strict):
                keys += [note.pitches[0].midi for note in segment.notes]
                room += range(len(segment.notes), 0, -1)
            before = 0
            for point in moments(score) if together else ():
                begun.append(_mask(classes_of(score, point.beginning)))
                now = _mask(classes_of(score, point.sounding))
                chords[now] += now != before and now.bit_count() > 2
                before = now
            begun.append(0)
        many = together and any(len(score.lines) > 1 for score in scores)
        return Sounds(np.array(keys, np.int64), np.array(room, np.int64), np.array(begun, np.uint16), chords, many)

    @cached_property
    def _grams(self) -> dict[tuple[int, int, bool], _Grams]:
        return {}

    def grams(self, notes: int, stride: int, octaves: bool) -> _Grams:
        """The windows of so many notes that stand `stride` apart; `octaves`: in whatever octave each of them is."""
        key = (notes, stride, octaves)
        if key not in self._grams:
            self._grams[key] = _Grams.of(self, *key)
        return self._grams[key]

    def starts(self, notes: int, stride: int = 1) -> NDArray[np.bool_]:
        """At which notes such a window can begin."""
        return self.room > (notes - 1) * stride


class Countable(Protocol):
    """What a name is weighed in by its whole lines: the notes of a file, or of a library too large for one machine."""

    @property
    def fingerprint(self) -> bytes:
        """What is the same for the same notes."""
        ...

    def classes(self) -> Ints:
        """How often each pitch class comes."""
        ...

    def steps(self, stride: int = 1) -> Ints:
        """How often each step comes."""
        ...

    def windows(self, notes: int, stride: int = 1) -> int:
        """How many lines of so many notes there are."""
        ...

    def exact(self, keys: Ints) -> Iterator[tuple[HitKind, Ints]]:
        """How often each of these lines comes as it is, at pitch and transposed."""
        ...


def places_of(steps: Ints) -> Ints:
    """Where steps stand among the `STEPS`."""
    return np.clip(steps, -WIDEST, WIDEST) + WIDEST


def no_chords() -> Ints:
    """A count for every set of pitch classes, all of them nothing."""
    return np.zeros(1 << 12, np.int64)


def _mask(classes: frozenset[int]) -> int:
    return sum(1 << pitch_class for pitch_class in classes)


@dataclass(frozen=True)
class _Grams:
    """The windows of a score as numbers, each with how often it comes: at any pitch, and at one."""

    moved: tuple[Bits, Ints]
    pitched: tuple[Bits, Ints]

    @staticmethod
    def of(sounds: Sounds, notes: int, stride: int, octaves: bool) -> _Grams:
        """Count the windows of so many notes, of which each is so many sounds after the one before."""
        keys = sounds.keys
        begins = np.flatnonzero(sounds.starts(notes, stride))
        steps = [keys[begins + (k + 1) * stride] - keys[begins + k * stride] for k in range(notes - 1)]
        named = _named(steps, octaves, len(begins))
        at_pitch = _at_pitch(named, keys[begins])
        return _Grams(np.unique(named, return_counts=True), np.unique(at_pitch, return_counts=True))

    def found(self, steps: Ints, octaves: bool) -> Ints:
        """How often each row of steps comes."""
        return _looked_up(self.moved, _named(list(steps.T), octaves, len(steps)))

    def found_at_pitch(self, steps: Ints, first: Ints, octaves: bool) -> Ints:
        """How often each row of steps comes from its own first note on."""
        return _looked_up(self.pitched, _at_pitch(_named(list(steps.T), octaves, len(steps)), first))


def _named(steps: Sequence[Ints], octaves: bool, rows: int) -> Bits:
    named = np.zeros(rows, np.uint64)
    for step in steps:
        named = named * _FACTOR + (step % 12 if octaves else step + 1_000).astype(np.uint64)
    return named


def _at_pitch(named: Bits, first: Ints) -> Bits:
    return named * _PITCH + (first % 12 + 1).astype(np.uint64)


def _looked_up(table: tuple[Bits, Ints], wanted: Bits) -> Ints:
    names, counts = table
    if not len(names):
        return np.zeros(len(wanted), np.int64)
    place = np.minimum(np.searchsorted(names, wanted), len(names) - 1)
    return np.where(names[place] == wanted, counts[place], 0)


# ----------------------------------------------------------------
# The forms of many lines.

FORMS = tuple(LineForm)
WITH_LETTERS = (LineForm.PRIME, LineForm.RETROGRADE)
"""The forms whose notes are the name's own; only they are sought inflected and split over voices."""


@dataclass(frozen=True)
class LineBatch:
    """Lines of one length in one form."""

    steps: Ints
    """A row for each line: semitones from note to note."""
    first: Ints
    """The key number of each line's first note."""

    @cached_property
    def keys(self) -> Ints:
        """The key numbers of all notes."""
        whole: Ints = np.concatenate((self.first[:, None], self.steps), axis=1).cumsum(axis=1)
        return whole


def in_form(keys: Ints, form: LineForm) -> LineBatch:
    """Lines, given as rows of key numbers, in one of their forms."""
    steps = np.diff(keys, axis=1)
    match form:
        case LineForm.PRIME:
            return LineBatch(steps, keys[:, 0])
        case LineForm.INVERSION:
            return LineBatch(-steps, keys[:, 0])
        case LineForm.RETROGRADE:
            return LineBatch(-steps[:, ::-1], keys[:, -1])
        case LineForm.RETROGRADE_INVERSION:
            return LineBatch(steps[:, ::-1], 2 * keys[:, 0] - keys[:, -1])


# ----------------------------------------------------------------
# Counting.


def counted(sounds: Sounds, keys: Ints, between: int = 0) -> Iterator[tuple[HitKind, Ints]]:
    """Each kind, with how often each line comes so; `between`: how many foreign notes may lie between two."""
    notes = keys.shape[1]
    columns = _Columns(sounds, notes)
    yield from counted_exact(sounds, keys)
    for form in FORMS:
        lines = in_form(keys, form)
        folded = sounds.grams(notes, 1, True)
        yield HitKind(form, Closeness.OCTAVES, Spacing.ADJACENT), folded.found(lines.steps, True)
        at_pitch = folded.found_at_pitch(lines.steps, lines.first, True)
        yield HitKind(form, Closeness.CLASSES, Spacing.ADJACENT), at_pitch
        yield from _woven(sounds, form, lines, notes)
        if between:
            loose = _loose(sounds, lines, between)
            yield HitKind(form, Closeness.AT_PITCH, Spacing.BETWEEN), _ones(loose & columns.exact[0][lines.first % 12])
            yield HitKind(form, Closeness.OCTAVES, Spacing.BETWEEN), _ones(loose)
        if form in WITH_LETTERS:
            yield HitKind(form, Closeness.INFLECTED, Spacing.ADJACENT), columns.inflected(lines)
            if most_inflected(notes):
                yield HitKind(form, Closeness.MOVED_INFLECTED, Spacing.ADJACENT), columns.moved_inflected(lines)
            if sounds.many:
                yield HitKind(form, Closeness.AT_PITCH, Spacing.SPLIT), _split(sounds, lines)
    if sounds.chords.any():
        yield HitKind(LineForm.PRIME, Closeness.AT_PITCH, Spacing.CHORD), sounds.chords[chord_masks(keys)]


def counted_exact(sounds: Sounds, keys: Ints) -> Iterator[tuple[HitKind, Ints]]:
    """The same for whole lines only, at pitch and transposed: what is sought in a corpus."""
    for form in FORMS:
        lines, grams = in_form(keys, form), sounds.grams(keys.shape[1], 1, False)
        at_pitch = grams.found_at_pitch(lines.steps, lines.first, False)
        yield HitKind(form, Closeness.AT_PITCH, Spacing.ADJACENT), at_pitch
        yield HitKind(form, Closeness.TRANSPOSED, Spacing.ADJACENT), grams.found(lines.steps, False)


def _woven(sounds: Sounds, form: LineForm, lines: LineBatch, notes: int) -> Iterator[tuple[HitKind, Ints]]:
    exact = [sounds.grams(notes, stride, False) for stride in range(2, WIDEST_WEAVE + 1)]
    folded = [sounds.grams(notes, stride, True) for stride in range(2, WIDEST_WEAVE + 1)]
    pitched = [grams.found_at_pitch(lines.steps, lines.first, False) for grams in exact]
    yield HitKind(form, Closeness.AT_PITCH, Spacing.WOVEN), sum(pitched[1:], pitched[0])
    moved = [grams.found(lines.steps, False) for grams in exact]
    yield HitKind(form, Closeness.TRANSPOSED, Spacing.WOVEN), sum(moved[1:], moved[0])
    octaves = [grams.found(lines.steps, True) for grams in folded]
    yield HitKind(form, Closeness.OCTAVES, Spacing.WOVEN), sum(octaves[1:], octaves[0])


def chord_masks(keys: Ints) -> Ints:
    """The pitch classes of each line, a bit each."""
    masks: Ints = np.bitwise_or.reduce(np.left_shift(1, keys % 12), axis=1)
    return masks


def _split(sounds: Sounds, lines: LineBatch) -> Ints:
    """Runs of moments at which the notes begin in turn, in whatever lines."""
    notes = lines.keys.shape[1]
    moments = len(sounds.begun)
    begun = np.zeros((12, moments + notes), bool)
    for pitch_class in range(12):
        begun[pitch_class, :moments] = sounds.begun >> pitch_class & 1
    return _ones(_all_of([_packed(begun[:, k : k + moments]) for k in range(notes)], lines.keys))


class _Columns:
    """For each note of a line and each pitch class, in which windows it stands there, exactly or a semitone off."""

    def __init__(self, sounds: Sounds, notes: int) -> None:
        every = len(sounds.keys)
        here = np.zeros((12, every + notes), bool)
        here[sounds.keys % 12, np.arange(every)] = True
        near = here | np.roll(here, 1, 0) | np.roll(here, -1, 0)
        self.exact = [_packed(here[:, k : k + every]) for k in range(notes)]
        self.near = [_packed(near[:, k : k + every]) for k in range(notes)]
        self.starts = _packed(sounds.starts(notes)[None, :])[0]

    def inflected(self, lines: LineBatch) -> Ints:
        """At its own pitch, each note within a semitone."""
        return _ones(_all_of(self.near, lines.keys) & self.starts)

    def moved_inflected(self, lines: LineBatch) -> Ints:
        """At another pitch, one or a few notes a semitone off."""
        rows = max(_TOGETHER // max(len(self.starts), 1), 1)
        parts = [self._moved(lines.keys[begin : begin + rows]) for begin in range(0, len(lines.keys), rows)]
        return np.concatenate(parts)

    def _moved(self, keys: Ints) -> Ints:
        found = np.zeros((len(keys), len(self.starts)), np.uint64)
        most = most_inflected(keys.shape[1])
        for up in range(1, 12):
            # The rows of `off` count: at least one, two ... notes were a semitone off so far.
            off = [np.zeros_like(found) for _ in range(most + 1)]
            stands = np.broadcast_to(self.starts, found.shape).copy()
            for k in range(keys.shape[1]):
                wanted = (keys[:, k] + up) % 12
                near = self.near[k][wanted]
                stands &= near
                now = near & ~self.exact[k][wanted]
                for more in range(most, 0, -1):
                    off[more] |= off[more - 1] & now
                off[0] |= now
            found |= stands & off[0] & ~off[most]
        return _ones(found)


def _loose(sounds: Sounds, lines: LineBatch, between: int) -> Bits:
    """Where each line begins with up to so many notes between neighbors, in whatever octaves."""
    every = len(sounds.keys)
    apart = []
    for distance in range(1, between + 2):
        steps = np.full(every, -1, np.int64)
        steps[: max(every - distance, 0)] = (sounds.keys[distance:] - sounds.keys[:-distance]) % 12
        steps[sounds.room <= distance] = -1
        apart.append(_packed(steps[None, :] == np.arange(12)[:, None]))
    stands = np.broadcast_to(_packed(np.ones((1, every), bool)), (len(lines.steps), apart[0].shape[1]))
    for column in lines.steps.T[::-1]:
        stands = np.bitwise_or.reduce(
            [apart[d - 1][column % 12] & _shifted(stands, d) for d in range(1, between + 2)], axis=0
        )
    return stands


# ----------------------------------------------------------------
# Rows of bits, the first in the lowest bit of the first word.


def _packed(rows: NDArray[np.bool_]) -> Bits:
    width = -(-rows.shape[1] // 64) * 64
    whole = np.zeros((len(rows), width), bool)
    whole[:, : rows.shape[1]] = rows
    packed: Bits = np.packbits(whole, axis=1, bitorder="little").view(np.uint64)
    return packed


def _shifted(rows: Bits, by: int) -> Bits:
    """Each bit from so many places further on; fewer than 64."""
    following = np.zeros_like(rows)
    following[:, :-1] = rows[:, 1:]
    shifted: Bits = rows >> np.uint64(by) | following << np.uint64(64 - by)
    return shifted


def _all_of(columns: Sequence[Bits], keys: Ints) -> Bits:
    found = columns[0][keys[:, 0] % 12]
    for k in range(1, len(columns)):
        found &= columns[k][keys[:, k] % 12]
    return found


_ONES = np.array([value.bit_count() for value in range(65_536)], np.uint8)


def _ones(rows: Bits) -> Ints:
    counted: Any = _ONES[np.ascontiguousarray(rows).view(np.uint16)].sum(axis=1, dtype=np.int64)
    return np.asarray(counted, np.int64)
