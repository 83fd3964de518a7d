"""Where two lines go together: every delay, transposition and form within limits, the best first.

In: a leader, a follower, limits and rules. Out: placements in order: fewest breaches; then longest together; then most
imperfect consonances; then the smallest transposition; then the order of the search. Same input, same order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import gcd, lcm

import numpy as np

from cavata.combine.rules import Judgement, judge, voice
from cavata.diagnostics import Refusal
from cavata.music.event import Motif
from cavata.music.mode import Mode, moved, native
from cavata.music.pitch import HIGHEST_OCTAVE, INTERVAL_PATTERN, LOWEST_OCTAVE, UNISON, Interval, Pitch
from cavata.transforms.combinations import Answer

# ----------------------------------------------------------------
# How far a follower can be moved: by every usual interval, or by degrees of a mode.
#
# In: the reach, and a mode if answers keep to one. Out: intervals from the lowest up, and pitches moved by them. In a
# mode an interval stands for as many degrees as it has steps; a note foreign to the mode goes by the interval
# itself, as
# in `canon(..., in MODE)`.


_SIMPLE = ((0, 0), (1, 1), (1, 2), (2, 3), (2, 4), (3, 5), (3, 6), (4, 7), (5, 8), (5, 9), (6, 10), (6, 11))
"""By semitones the staff steps of the usual interval."""
_BY_STEPS = (0, 2, 4, 5, 7, 9, 11)
"""By staff steps the semitones of the major or perfect interval."""


def intervals(reach: int, octaves_only: bool = False) -> tuple[Interval, ...]:
    """Every usual interval up to so many semitones, from the lowest up."""
    found = []
    for semitones in range(-reach, reach + 1):
        octaves, rest = divmod(abs(semitones), 12)
        if not octaves_only or not rest:
            upward = Interval(7 * octaves + _SIMPLE[rest][0], abs(semitones))
            found.append(upward if semitones >= 0 else -upward)
    return tuple(found)


def _plain(steps: int) -> Interval:
    octaves, step = divmod(steps, 7)
    return Interval(steps, 12 * octaves + _BY_STEPS[step])


def _has_a_name(interval: Interval) -> bool:
    upward = interval if interval.steps >= 0 else -interval
    return upward.semitones >= 0 and INTERVAL_PATTERN.fullmatch(str(upward)) is not None


class Mover:
    """Moves pitches, and knows by which intervals a line may be moved."""

    def __init__(self, mode: Mode | None, reach: int, octaves_only: bool) -> None:
        self.mode = mode
        self.reach = reach
        self._octaves_only = octaves_only
        # A search moves thousands of pitches: what the mode has at each letter is asked once.
        self._alters = tuple(map(mode.alteration, range(7))) if mode is not None and mode.by_letter else ()

    def intervals(self, line: Motif) -> tuple[Interval, ...]:
        """Every interval that the line may be moved by: within a mode, for each number of degrees that by which the
        line's first note moves.

        Where that note is foreign to the mode, or the mode's degrees are no staff steps, the major or perfect interval.
        """
        if self.mode is None:
            return intervals(self.reach, self._octaves_only)
        first = next((event.heads[0].pitch for event in line.sounding), None)
        most = max(steps for steps in range(22) if _plain(steps).semitones <= self.reach)
        found = []
        for steps in range(-most, most + 1):
            interval = _plain(steps) if steps >= 0 else -_plain(-steps)
            if first is not None and self._alters and self._alters[first.letter] == first.alter:
                own = self.moved(first, interval) - first
                interval = own if _has_a_name(own) else interval
            found.append(interval)
        return tuple(found)

    def moved(self, pitch: Pitch, interval: Interval) -> Pitch:
        """The pitch moved, even where it could not be written."""
        position = pitch.position + interval.steps
        if self._alters:
            if self._alters[pitch.letter] == pitch.alter:
                return Pitch(position, self._alters[position % 7])
        elif self.mode is not None and native(pitch, self.mode) == pitch:
            return moved(pitch, interval.steps, self.mode)
        return Pitch(position, pitch.midi + interval.semitones - Pitch(position, 0).midi)


# ----------------------------------------------------------------

MOST_PLACEMENTS = 500_000


@dataclass(frozen=True, slots=True)
class Bounds:
    """How far the search goes."""

    longest_delay: Fraction
    delay_step: Fraction
    reach: int
    """Semitones up and down."""
    forms: tuple[Answer, ...]
    strong: Fraction
    """From one strong beat to the next, counted from where the leader begins."""
    rules: str
    canon: bool = False
    """The follower answers the leader, so that it has to enter later."""
    mode: Mode | None = None
    """Followers are turned and moved by its degrees; None for exactly."""

    def mover(self) -> Mover:
        """What moves lines within these bounds."""
        return Mover(self.mode, self.reach, self.rules == "quodlibet")


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule broken."""

    name: str
    at: Fraction
    """From where the leader begins, in whole notes."""


@dataclass(frozen=True, slots=True)
class Placement:
    """The follower at one place."""

    answer: Answer
    delay: Fraction
    line: Motif
    """The follower as it sounds, without the rest before it."""
    breaches: tuple[Breach, ...]
    together: Fraction
    """For how long both sound."""
    imperfect: int


@dataclass(frozen=True, slots=True)
class Combined:
    """All placements looked at, and the best."""

    placements: int
    clean: int
    """How many break no rule."""
    best: tuple[Placement, ...]


FORMS = tuple(
    Answer(UNISON, None, backwards, upside_down, slower)
    for slower in (Fraction(1), Fraction(2), Fraction(1, 2))
    for backwards in (False, True)
    for upside_down in (False, True)
)
"""As it stands, upside down, backwards, both; then the same twice as slow, and twice as fast."""


def delays(bounds: Bounds, leader: Motif) -> tuple[Fraction, ...]:
    """Every delay; a stretto enters before the leader is done."""
    count = int(bounds.longest_delay / bounds.delay_step)
    every = (bounds.delay_step * n for n in range(int(bounds.canon), count + 1))
    return tuple(d for d in every if d < leader.duration or bounds.rules != "stretto")


def least_together(leader: Motif, follower: Motif) -> Fraction:
    """Half of the shorter line must sound with the other: less is no counterpoint."""
    return min(leader.duration, follower.duration) / 2


def combine(
    leader: Motif,
    follower: Motif,
    bounds: Bounds,
    most: int,
    told: Callable[[int], None] | None = None,
    least: Fraction | None = None,
) -> Combined:
    """Judge every placement of the follower; `told` is called with how many have been judged.

    `least` is for how long both must sound, else half of the shorter one.
    """
    mover = bounds.mover()
    lines = [_formed(follower, form, bounds) for form in bounds.forms]
    steps = [mover.intervals(line or follower) for line in lines]
    waits = delays(bounds, leader)
    tick = _tick_of(leader, follower, bounds)
    ticks = np.array([int(wait / tick) for wait in waits], np.int64)
    lead = voice(leader, [_pitches(leader)], tick)
    rows, seen = [], 0
    judged: list[tuple[Judgement, list[int]] | None] = []
    for number, (line, ways) in enumerate(zip(lines, steps, strict=True)):
        moved = [[mover.moved(pitch, way) for pitch in _pitches(line)] if line else [] for way in ways]
        writable = [i for i, pitches in enumerate(moved) if line is not None and all(map(_can_be_written, pitches))]
        seen += len(ways) * len(waits)
        if told is not None:
            told(seen)
        if line is None or not writable or not waits:
            judged.append(None)
            continue
        follows = voice(line, [moved[i] for i in writable], tick)
        found = judge(lead, follows, ticks, int(bounds.strong / tick), bounds.rules)
        judged.append((found, writable))
        enough = least_together(leader, line) if least is None else least
        rows.append(_rows(found, number, writable, ways, int(enough / tick)))
    table = np.concatenate(rows, axis=1) if rows else np.zeros((7, 0), np.int64)
    order = np.lexsort((table[6], table[5], table[4], table[3], -table[2], -table[1], table[0]))
    best = []
    for row in order[:most].tolist():
        number, column, place = (int(n) for n in table[4:7, row])
        entry = judged[number]
        assert entry is not None
        found, writable = entry
        form, step = bounds.forms[number], steps[number][writable[column]]
        answer = Answer(step, bounds.mode, form.backwards, form.upside_down, form.slower)
        best.append(
            Placement(
                answer, waits[place], answer.to(follower), _breaches(found, column, place, tick),
                tick * int(table[1, row]), int(table[2, row]),
            )
        )  # fmt: skip
    return Combined(seen, int(np.count_nonzero(table[0] == 0)), tuple(best))


def ticks_needed(leader: Motif, follower: Motif, bounds: Bounds) -> int:
    """How many ticks the leader has."""
    return int(leader.duration / _tick_of(leader, follower, bounds))


def _formed(follower: Motif, form: Answer, bounds: Bounds) -> Motif | None:
    """The follower turned and stretched; None where that could not be written."""
    try:
        return replace(form, mode=bounds.mode).to(follower)
    except Refusal:
        return None


def _tick_of(leader: Motif, follower: Motif, bounds: Bounds) -> Fraction:
    formed = (_formed(follower, form, bounds) for form in bounds.forms)
    return _tick((leader, *(line for line in formed if line is not None)), (bounds.delay_step, bounds.strong))


def _rows(
    found: Judgement, number: int, writable: Sequence[int], steps: Sequence[Interval], least: int
) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """For each placement breaches, ticks together, imperfect consonances, semitones, and its three numbers."""
    broken = np.sum([mask.sum(axis=2) for mask in found.breaches.values()], axis=0)
    shape = broken.shape
    together = np.broadcast_to(found.together[None, :], shape)
    far = np.broadcast_to(np.array([abs(steps[i].semitones) for i in writable])[:, None], shape)
    column, place = np.indices(shape)
    kept = (together >= max(least, 1)).ravel()
    rows = [broken, together, found.imperfect, far, np.full(shape, number), column, place]
    return np.stack([row.ravel()[kept] for row in rows]).astype(np.int64)


def _breaches(found: Judgement, column: int, place: int, tick: Fraction) -> tuple[Breach, ...]:
    every = [
        Breach(name, tick * int(at))
        for name, mask in found.breaches.items()
        for at in np.flatnonzero(mask[column, place])
    ]
    return tuple(sorted(every, key=lambda breach: (breach.at, breach.name)))


def _pitches(line: Motif) -> list[Pitch]:
    return [event.heads[0].pitch for event in line.sounding]


def _can_be_written(pitch: Pitch) -> bool:
    return abs(pitch.alter) <= 2 and LOWEST_OCTAVE <= pitch.octave <= HIGHEST_OCTAVE


def _tick(lines: Sequence[Motif], others: Sequence[Fraction]) -> Fraction:
    """The longest duration of which every other is a multiple."""
    every = [event.duration for line in lines for event in line.events] + [d for d in others if d]
    bottom = lcm(*(d.denominator for d in every))
    return Fraction(gcd(*(int(d * bottom) for d in every)), bottom)
