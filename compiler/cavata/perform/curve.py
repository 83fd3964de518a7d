"""One tempo for all: where the score as a whole goes slower or faster than its marks.

In: a movement and its voices. Out: factors of the length of a beat, each from its moment on. The rules of timing act on
one line made of all voices: at each onset its shortest note, among equals the one of the highest melodic charge, else
one of the voice that leads already, else the highest (the synchronization of voices of the Stockholm group). The whole
takes the time that the score says: what is gained in one place is given back over all. Fermatas stay as they are.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.perform import rules
from cavata.perform.harmony import Harmony
from cavata.perform.phrases import EventKey, PhrasedVoice, common_beginnings
from cavata.perform.punctuation import Punctuated
from cavata.record import record
from cavata.score.clock import Clock, paces
from cavata.score.score import Movement, ScoreEvent

ALONE, TOGETHER = 1.5, 0.75
"""The quantity of phrase arches in time: as in the group's list of rules for one player; half of it for several, who
have to stay together, by a choice of ours."""
TURN, NEXT, LAST_OF_MEMBER = 0.3, 1.3, 0.2
"""Of an arch over a phrase: where it turns; by how much more it broadens at the end of a section; how much of the
lengthening of its last note remains for an arch over a part of a phrase, which turns at the third note."""
FINAL = 0.5
"""The tempo at the end of a final ritard, of what it was."""
LEAST, MOST = 0.75, 1.6
"""The bounds of all rules together."""
_FEWEST = 3
"""Notes of a phrase that has an arch."""
_FINE = 10_000
"""Factors are whole parts of it, so that they are the same on every machine."""

Curve = tuple[tuple[Fraction, Fraction], ...]
"""Moments, and by what a beat is longer from there on."""


@record
class CurveStep:
    """A stretch of the common line, from one onset to the next."""

    onset: Fraction
    end: Fraction
    ms: float
    voice: EventKey
    event: ScoreEvent


def curve(
    movement: Movement, voices: Sequence[PhrasedVoice], harmony: Harmony, clock: Clock, punctuated: Punctuated,
    alone: bool, ends: bool,
) -> Curve:
    """The tempo curve; `ends` says that nothing follows at once."""
    steps = tuple(_steps(movement, voices, harmony, clock))
    if not steps:
        return ()
    longer = [_longer(steps, index, harmony, punctuated) for index in range(len(steps))]
    arches = _arches(movement, voices, steps, ALONE if alone else TOGETHER)
    ritard = _ritard(movement, steps, clock) if ends else {}
    factors = [
        min(max(1 + more / step.ms + arched, LEAST), MOST) * ritard.get(step.onset, 1.0)
        for step, more, arched in zip(steps, longer, arches, strict=True)
    ]
    return tuple(_in_time(movement, steps, factors))


def _steps(movement: Movement, voices: Sequence[PhrasedVoice], harmony: Harmony, clock: Clock) -> Iterator[CurveStep]:
    """The common line."""
    at: dict[Fraction, list[tuple[EventKey, ScoreEvent]]] = {}
    for voice in voices:
        for event in voice.events:
            at.setdefault(event.onset, []).append((voice.key, event))
    leading: EventKey | None = None
    moments = sorted(at)
    for onset, end in pairwise((*moments, movement.duration)):
        chord = harmony.at(onset)

        def rank(found: tuple[EventKey, ScoreEvent]) -> tuple[Fraction, float, bool, int]:
            voice, event = found
            top = event.event.heads[-1].pitch.midi
            charge = 0.0 if chord is None else rules.melodic_charge(top - chord.root)  # noqa: B023
            return event.event.duration, -charge, voice != leading, -top  # noqa: B023

        leading, event = min(at[onset], key=rank)
        ms = float(clock.between(onset, end)) * 1000
        if ms > 0:
            yield CurveStep(onset, end, ms, leading, event)


def _longer(steps: Sequence[CurveStep], index: int, harmony: Harmony, punctuated: Punctuated) -> float:
    """Milliseconds that a step is longer by the rules for single notes."""
    step = steps[index]
    more = 0.0
    halved, halving = _halves(steps, index + 1), _halves(steps, index)
    if halving:
        more += rules.double_duration(step.ms)
    elif halved:
        more -= rules.double_duration(steps[index + 1].ms)
    else:
        more += rules.contrast_time(step.ms)
    more += rules.LONGER_AT_PUNCTUATION * punctuated.get((step.voice, step.onset), 0.0)
    chord = harmony.at(step.onset)
    if chord is not None:
        top = step.event.event.heads[-1].pitch.midi
        more += step.ms * rules.melodic_share(rules.melodic_charge(top - chord.root))
        first = index == 0 or steps[index - 1].onset < chord.onset
        more += rules.harmonic_time(step.ms, chord.charge, harmony.level(step.onset), first)
    return more


def _halves(steps: Sequence[CurveStep], index: int) -> bool:
    """Whether a step is half as long as the one before and shorter than the next, and less than a second."""
    if not 1 <= index < len(steps) - 1:
        return False
    before, here, after = (steps[place].end - steps[place].onset for place in (index - 1, index, index + 1))
    return before == 2 * here and after > here and steps[index].ms < 1000


def _arches(movement: Movement, voices: Sequence[PhrasedVoice], steps: Sequence[CurveStep], k: float) -> list[float]:
    """For each step by what share the arches over phrases and over their parts make it longer."""
    found = [0.0] * len(steps)
    onsets = [step.onset for step in steps]
    sections = {section.onset for section in movement.sections} | {movement.duration}
    whole = common_beginnings(voices, movement, True)
    parts = common_beginnings(voices, movement, False)
    spans = set(pairwise((*whole, movement.duration)))
    start, end = (k * share for share in rules.ARCH_TIME)
    for begin, until in spans:
        places = range(bisect_left(onsets, begin), bisect_left(onsets, until))
        ending = end * (NEXT if until in sections else 1)
        for place, x in _shares(steps, places):
            found[place] += rules.arch(x, TURN, start, ending)
    for begin, until in pairwise((*parts, movement.duration)):
        places = range(bisect_left(onsets, begin), bisect_left(onsets, until))
        shares = list(_shares(steps, places))
        if (begin, until) in spans or not shares:
            continue
        for place, x in shares:
            more = rules.arch(x, min(shares[2][1], 1.0), start, end)
            found[place] += more * LAST_OF_MEMBER if place == places[-1] else more
    return found


def _shares(steps: Sequence[CurveStep], places: range) -> Iterator[tuple[int, float]]:
    """Each step of a stretch with its share of the time up to the last onset; none where there are too few."""
    if len(places) < _FEWEST:
        return
    times = [0.0]
    for place in places[:-1]:
        times.append(times[-1] + steps[place].ms)
    for place, time in zip(places, times, strict=True):
        yield place, time / times[-1]


def _ritard(movement: Movement, steps: Sequence[CurveStep], clock: Clock) -> dict[Fraction, float]:
    """The factors of a final ritard; none where the script itself says how the movement ends, or it is very short.

    It ends with the last onset if what begins there is long, else with the movement.
    """
    last = steps[-1]
    of_the_script = paces(movement)[-1]
    length = rules.RITARD_MS
    if of_the_script.held or of_the_script.first != of_the_script.last or float(clock.length) * 1000 < 8 * length:
        return {}
    end = last.onset if last.ms >= length else movement.duration
    found: dict[Fraction, float] = {}
    for step in steps:
        begins = 1 - float(clock.between(step.onset, end)) * 1000 / length if step.onset < end else 1.0
        until = min(begins + step.ms / length, 1.0)
        if until > max(begins, 0.0):
            inside = max(begins, 0.0)
            took = rules.time_in_ritard(until, FINAL) - rules.time_in_ritard(inside, FINAL)
            found[step.onset] = (took + inside - begins) / (until - begins)
    if found and end == last.onset:
        found[last.onset] = rules.LAST_LONGER
    return found


def _in_time(
    movement: Movement, steps: Sequence[CurveStep], factors: Sequence[float]
) -> Iterator[tuple[Fraction, Fraction]]:
    """The curve, the same time in all as the score takes: 1 before the first note and in fermatas."""
    marked = paces(movement)
    cuts = sorted({pace.onset for pace in marked} | {step.onset for step in steps})
    onsets, starts = [step.onset for step in steps], [pace.onset for pace in marked]
    free = shaped = 0.0
    pieces: list[tuple[Fraction, float]] = []
    for begin, end in pairwise((*cuts, movement.duration)):
        pace = marked[bisect_right(starts, begin) - 1]
        place = bisect_right(onsets, begin) - 1
        factor = 0.0 if pace.held or place < 0 else factors[place]
        pieces.append((begin, factor))
        if factor:
            seconds = float(pace.part(begin, end).seconds)
            free += seconds
            shaped += seconds * factor
    scale = free / shaped if shaped else 1.0
    before = Fraction(1)
    for onset, factor in pieces:
        value = Fraction(round(factor * scale * _FINE), _FINE) if factor else Fraction(1)
        if value != before:
            yield onset, value
        before = value
