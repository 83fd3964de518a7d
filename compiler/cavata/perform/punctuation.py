"""Where a melody is punctuated: small silences within a phrase, after the notes that end a gesture.

In: the voices of a movement. Out: the silence after each such note, in milliseconds. Of the cases that the Stockholm
group lists these are looked for: a note before a leap that is half as large again as the intervals around it and goes
against both, one between steps that leaps against them, and one that is the longest of five. None is punctuated within
stepwise motion or under a slur, if it is shorter than 0.6 of the mean, before a rest, at the end of the voice, or if
its weight is under half of the mean weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.perform import rules
from cavata.perform.phrases import EventKey, PhrasedVoice, slurred
from cavata.score.clock import Clock
from cavata.score.score import ScoreEvent

K = 1.1
"""The quantity in the group's list of rules."""
_LEAP, _LEAP_AND_STEP, _LONGEST = 10.0, 9.0, 10.5
_SHORT, _LIGHT = 0.6, 0.5
_STEP = 2
"""The widest step, in semitones."""

Punctuated = Mapping[tuple[EventKey, Fraction], float]
"""The silence after the event of a voice that begins at a moment."""


def punctuated(voices: Sequence[PhrasedVoice], clock: Clock) -> Punctuated:
    """The silences of all voices."""
    found: dict[tuple[EventKey, Fraction], float] = {}
    for voice in voices:
        weights = dict(_weights(voice.events))
        mean = sum(weights.values()) / max(len(weights), 1)
        for index, weight in weights.items():
            if weight >= _LIGHT * mean:
                event = voice.events[index]
                ms = float(clock.between(event.onset, event.end)) * 1000
                found[voice.key, event.onset] = rules.punctuation(ms, K)
    return found


def _weights(events: Sequence[ScoreEvent]) -> Iterator[tuple[int, float]]:
    """The weight of every event that may be punctuated, by its index."""
    durations = [event.event.duration for event in events]
    tops = [event.event.heads[-1].pitch.midi for event in events]
    shortest = Fraction(round(_SHORT * 10), 10) * sum(durations) / max(len(durations), 1)
    for index, bound in enumerate(slurred(events)):
        if not 2 <= index < len(events) - 2 or bound or durations[index] < shortest:
            continue
        if events[index + 1].onset > events[index].end:
            continue
        before, after, later = (tops[place + 1] - tops[place] for place in (index - 1, index, index + 1))
        if max(map(abs, (before, after, later))) <= _STEP and (before > 0) == (after > 0):
            continue
        weight = _of_leap(before, after, later) + _of_length(durations[index - 2 : index + 3])
        if weight:
            yield index, weight


def _of_leap(before: int, after: int, later: int) -> float:
    """The weight of a note between two intervals, with the one after them."""
    if before * after >= 0 or after * later >= 0 or abs(after) <= _STEP:
        return 0.0
    if abs(before) <= _STEP and abs(later) <= _STEP:
        return _LEAP_AND_STEP
    return _LEAP if 2 * abs(after) > 3 * max(abs(before), abs(later)) else 0.0


def _of_length(five: Sequence[Fraction]) -> float:
    """The weight of the middle one of five by its share of their time, if it is the longest."""
    middle = five[2]
    others = (*five[:2], *five[3:])
    return _LONGEST * float(middle / sum(five, Fraction(0))) if middle > max(others) else 0.0
