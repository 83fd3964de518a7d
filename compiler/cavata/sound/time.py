"""Where everything lies in a MIDI file: movements one after another, and exact time as ticks.

In: the score. Out: the resolution, and the tick of any moment of any movement. Moments are rounded each from its own
exact onset, never added up, so that nothing drifts; with the resolutions usual in music they are exact.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from math import floor, gcd, lcm

from cavata.perform.curve import Curve
from cavata.record import record
from cavata.score.clock import ClockStretch, paces
from cavata.score.score import Movement, Score

PAUSE = Fraction(2)
"""Seconds of silence after a movement, at its last tempo; none where the next follows `attacca`."""
HIGHEST_RESOLUTION = 32767
"""Ticks per quarter have fifteen bits in the header chunk (Standard MIDI Files 1.0)."""
USUAL_RESOLUTION = 480
FALLBACK_RESOLUTION = 27720
"""The greatest resolution that divides by 2, 3, 5, 7, 8, 9 and 11; used where no exact one fits the fifteen bits."""
STEP = Fraction(1, 16)
"""How often the tempo is set anew while it changes, in whole notes."""
LONGEST_QUARTER = 2**24 - 1
"""Microseconds per quarter have three bytes in the tempo event."""


@record
class Timeline:
    """The resolution in ticks per quarter, and where each movement begins, in whole notes from the first."""

    resolution: int
    starts: tuple[Fraction, ...]
    end: Fraction

    def tick(self, movement: int, onset: Fraction) -> int:
        """The nearest tick to a moment of a movement; a moment half-way goes to the later one."""
        start = self.starts[movement]
        # Whole numbers, since this is asked more often than anything else of a score: their sum need not be reduced.
        numerator, denominator = onset.numerator, onset.denominator
        if start:
            numerator = numerator * start.denominator + start.numerator * denominator
            denominator *= start.denominator
        return _nearest(numerator, denominator, 4 * self.resolution)

    def first_tick(self, movement: int) -> int:
        """The last tick that is not after the beginning of a movement."""
        return floor(self.starts[movement] * 4 * self.resolution)

    def alone(self, movement: int) -> Timeline:
        """That of one movement, whose ticks are counted from its first one."""
        before = Fraction(self.first_tick(movement), 4 * self.resolution)
        begin, end = (*self.starts, self.end)[movement : movement + 2]
        return Timeline(self.resolution, (begin - before,), end - before)

    @property
    def near(self) -> int:
        """The ticks of a 64th, within which several players strike together."""
        return self.resolution // 16

    @property
    def last_tick(self) -> int:
        """Where the last movement ends."""
        return _nearest(self.end.numerator, self.end.denominator, 4 * self.resolution)


def _nearest(numerator: int, denominator: int, ticks: int) -> int:
    """A moment, as a fraction, in ticks, so many to the whole note."""
    return (2 * numerator * ticks + denominator) // (2 * denominator)


def timeline(score: Score) -> Timeline:
    """Lay the movements of a score one after another. A pause is a whole number of quarters."""
    starts: list[Fraction] = []
    now = Fraction(0)
    for index, movement in enumerate(score.movements):
        starts.append(now)
        now += movement.duration
        if not movement.attacca and index + 1 < len(score.movements):
            now += _pause(movement)
    return Timeline(_resolution(score, starts, now), tuple(starts), now)


def microseconds(seconds_per_whole: Fraction) -> int:
    """Microseconds per quarter, rounded, within what the tempo event can say."""
    return min(max(round(seconds_per_whole / 4 * 1_000_000), 1), LONGEST_QUARTER)


def tempo_steps(movement: Movement) -> Iterator[tuple[Fraction, Fraction]]:
    """Where a tempo is set, and the seconds of a whole note from there on.

    A change goes in steps of a sixteenth, each as long as the change makes it, so that nothing is lost by the stairs.
    After a fermata or a change that ends the movement the tempo is that of the score again.
    """
    pace: ClockStretch | None = None
    for pace in paces(movement):
        count = 1 if pace.first == pace.last else int(-(-(pace.end - pace.onset) // STEP))
        for place in range(count):
            begin = pace.onset + (pace.end - pace.onset) * place / count
            part = pace.part(begin, pace.onset + (pace.end - pace.onset) * (place + 1) / count)
            yield begin, (part.first + part.last) / 2
    if pace is not None and (pace.held or pace.first != pace.last):
        yield movement.duration, movement.tempi[-1].seconds_at(movement.duration)


def performed_steps(movement: Movement, curve: Curve) -> Iterator[tuple[Fraction, Fraction]]:
    """The same along the tempo curve of a performance. After it the tempo is that of the score again."""
    if not curve:
        yield from tempo_steps(movement)
        return
    steps = [step for step in tempo_steps(movement) if step[0] < movement.duration]
    written, shaped = [onset for onset, _ in steps], [onset for onset, _ in curve]
    for moment in sorted({*written, *shaped}):
        seconds = steps[bisect_right(written, moment) - 1][1]
        place = bisect_right(shaped, moment) - 1
        yield moment, seconds * curve[place][1] if place >= 0 else seconds
    yield movement.duration, movement.tempi[-1].seconds_at(movement.duration)


def _pause(movement: Movement) -> Fraction:
    """The pause after a movement, and what is missing to the next quarter, in whole notes."""
    if not movement.tempi:
        return Fraction(1)
    quarters = round(PAUSE / movement.tempi[-1].seconds_at(movement.duration) * 4)
    missing = -movement.duration % Fraction(1, 4)
    return missing + Fraction(max(quarters, 1), 4)


def _resolution(score: Score, starts: list[Fraction], end: Fraction) -> int:
    parts = {moment.denominator for moment in (*starts, end, *_moments(score))}
    exact = lcm(*(part // gcd(part, 4) for part in parts))
    if exact > HIGHEST_RESOLUTION:
        return FALLBACK_RESOLUTION
    return exact * -(-USUAL_RESOLUTION // exact) if exact < USUAL_RESOLUTION else exact


def _moments(score: Score) -> Iterator[Fraction]:
    """Everything whose sums make the moments of the file."""
    for movement in score.movements:
        yield from (tempo.onset for tempo in movement.tempi)
        yield from (bar.onset for bar in movement.bars)
        for event in movement.events:
            yield event.onset
            yield event.event.duration
