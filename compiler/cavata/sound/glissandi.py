"""Which keys a glissando passes on its way from one note to the next.

In: a part, and its staves in a movement. Out: for two notes the keys between their highest ones, in order. On a harp
they are its strings, as the pedals have them; on keys and bars those of one color, where both notes are of that color;
elsewhere semitones. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction

from cavata.instruments.harp_pedals import WITHOUT_PEDAL
from cavata.instruments.keyboards import is_white
from cavata.music.pitch import Pitch
from cavata.score.clock import Clock
from cavata.score.harp import harp_pedaling, is_harp
from cavata.score.score import Movement, Part, ScoreEvent, Staff, events_of

KeysBetween = Callable[[ScoreEvent, ScoreEvent], Iterable[int]]
"""Of a note that slides and the one after it: the keys that are passed."""

_LETTERS = 7


def keys_between(part: Part, movement: Movement, staves: Sequence[Staff]) -> KeysBetween:
    """What each glissando of a part passes in a movement."""
    if is_harp(part) and any(event.event.marks.glides for event in events_of(staves)):
        return _strings(movement, staves)
    instrument = part.instrument
    has_keys = instrument.family == "keyboard" or (instrument.family == "percussion" and not instrument.drums)
    return _of_one_color if has_keys else _semitones


def _semitones(event: ScoreEvent, following: ScoreEvent) -> range:
    start, goal = _top(event).midi, _top(following).midi
    way = 1 if goal > start else -1
    return range(start + way, goal, way)


def _of_one_color(event: ScoreEvent, following: ScoreEvent) -> Iterable[int]:
    start, goal = is_white(_top(event).midi), is_white(_top(following).midi)
    return (key for key in _semitones(event, following) if start != goal or is_white(key) == start)


def _strings(movement: Movement, staves: Sequence[Staff]) -> KeysBetween:
    made, clock = harp_pedaling(movement, staves), Clock(movement)

    def between(event: ScoreEvent, following: ScoreEvent) -> Iterable[int]:
        setting = made.at(clock.between(Fraction(0), event.onset))
        start, goal = _top(event).position, _top(following).position
        way = 1 if goal > start else -1
        for position in range(start + way, goal, way):
            yield Pitch(position, 0 if position in WITHOUT_PEDAL else setting[position % _LETTERS]).midi

    return between


def _top(event: ScoreEvent) -> Pitch:
    return event.event.heads[-1].pitch
