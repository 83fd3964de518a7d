"""A performance of the score: what its players make of time, loudness and lengths.

In: the score. Out: for each movement as it is played a tempo curve, a touch for each note, and the pedals of pianos.
Nothing is drawn by chance: the same score has the same performance, and what is changed in one section changes the
small irregularities of no other. Each movement takes the time that the score says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from cavata.perform.curve import Curve, curve
from cavata.perform.harmony import Harmony
from cavata.perform.phrases import EventKey, PhrasedVoice, voices_of
from cavata.perform.punctuation import punctuated
from cavata.perform.ringing import Pedals, pedals, ringing
from cavata.perform.touch import Touch, Toucher
from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.playing import played_score
from cavata.score.score import Movement, Part, Score


@record
class PlayedMovement:
    """How one movement is played, at the moments of the movement with its repeats written out."""

    curve: Curve
    touches: Mapping[EventKey, Mapping[Fraction, Touch]]
    """By voice and onset."""
    pedals: Mapping[int, Pedals]
    """Of parts whose script writes none."""


@record
class Performance:
    """How a score is played."""

    movements: tuple[PlayedMovement, ...]


@record
class MovementAlone:
    """All that the performance of one movement is made of."""

    parts: tuple[Part, ...]
    names: tuple[str, ...]
    """What each part is printed as, those of one name counted."""
    movement: Movement
    """As it is played."""
    ends: bool
    """Nothing follows at once."""


Performing = Callable[[MovementAlone], PlayedMovement]


def perform(score: Score, performing: Performing | None = None) -> Performance:
    """The performance of a score; `performing` has that of a movement, where it need not be made."""
    return Performance(tuple(map(performing or perform_movement, movements_alone(score))))


def movements_alone(score: Score) -> tuple[MovementAlone, ...]:
    """The movements of a score as they are played, each with all that its performance is made of."""
    score = played_score(score)
    names = _names(score.parts)
    last = len(score.movements) - 1
    return tuple(
        MovementAlone(score.parts, names, movement, number == last or not movement.attacca)
        for number, movement in enumerate(score.movements)
    )


def _names(parts: Sequence[Part]) -> tuple[str, ...]:
    labels = [part.label for part in parts]
    return tuple(f"{label} {labels[:place].count(label)}" for place, label in enumerate(labels))


def perform_movement(alone: MovementAlone) -> PlayedMovement:
    """The performance of one movement."""
    parts, names, movement, ends = alone.parts, alone.names, alone.movement, alone.ends
    clock, voices = Clock(movement), voices_of(movement)
    if not voices or not movement.bars:
        return PlayedMovement((), {}, {})
    harmony, silences = Harmony(movement, clock), punctuated(voices, clock)
    pitched = [voice for voice in voices if not parts[voice.key[0]].instrument.unpitched]
    one = len({voice.key[0] for voice in voices}) == 1
    tempo = curve(movement, pitched, harmony, clock, silences, one, ends)
    toucher = Toucher(movement, clock, harmony, silences, names)
    touches = {voice.key: toucher.touches(voice, parts[voice.key[0]]) for voice in voices}
    feet: dict[int, Pedals] = {}
    for number, part in enumerate(parts):
        own = [voice for voice in voices if voice.key[0] == number]
        if own and part.instrument.key == "harp":
            _ring(movement, own, clock, touches)
        elif own and part.instrument.key == "piano":
            feet[number] = pedals(movement, own, clock)
    return PlayedMovement(tempo, touches, feet)


def _ring(
    movement: Movement, voices: Sequence[PhrasedVoice], clock: Clock, touches: dict[EventKey, dict[Fraction, Touch]]
) -> None:
    """Let the strings of a harp ring."""
    until = ringing(movement, voices, clock)
    for voice in voices:
        own = touches[voice.key]
        for event in voice.events:
            end = until.get((*voice.key[1:], event.onset))
            if end is not None:
                own[event.onset] = replace(own[event.onset], early=event.end - end)
