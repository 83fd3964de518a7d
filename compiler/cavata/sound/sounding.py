"""A movement as it sounds, of which any stretch can be had without the rest: messages at their samples, part by part.

In: a movement as it is played, and its performance. Out: where each moment of it lies in samples, and what each part
plays from one moment to another. Each pitched part has a channel of its own, on as many ports as that takes. Moments
lie where they do in the MIDI file of the piece, to less than a tick of that; so what is heard is what a build makes.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property
from statistics import median_low

from mido import Message

from cavata.perform.perform import Performance, PlayedMovement
from cavata.perform.touch import RING
from cavata.record import replace
from cavata.score.clock import paces
from cavata.score.score import Movement, Part, Score, events_of
from cavata.sound.audio_events import RATE, Happening, TickClock, in_order
from cavata.sound.channels import places_apart, with_sections
from cavata.sound.midi import MidiEvent, lasting, messages_of
from cavata.sound.notes import midi_key, notes
from cavata.sound.time import FALLBACK_RESOLUTION, LONGEST_QUARTER, Timeline, microseconds, performed_steps


class SoundingMovement:
    """One movement of a score."""

    def __init__(
        self, score: Score, movement: Movement, performed: PlayedMovement, slower: Fraction = Fraction(1),
        before: SoundingMovement | None = None,
    ) -> None:  # fmt: skip
        """`movement` is one of the score's as it is played; every beat is so many times as long. `before` is one of
        which the time is taken where it goes just so."""
        self.movement, self.performed = movement, performed
        self._score = replace(score, parts=with_sections(score.parts), movements=(movement,))
        self._performance = Performance((performed,))
        self._lines = Timeline(FALLBACK_RESOLUTION, (Fraction(0),), movement.duration)
        self._places = places_apart(score.parts)
        self._time = (paces(movement), performed.curve, slower)
        if before is not None and before._time == self._time:
            self._clock: TickClock = before._clock
        else:
            self._clock = self._timed(slower)

    def _timed(self, slower: Fraction) -> TickClock:
        tempi = [
            (self._lines.tick(0, onset), min(round(microseconds(seconds) * slower), LONGEST_QUARTER))
            for onset, seconds in performed_steps(self.movement, self.performed.curve)
        ]
        return TickClock(tempi, self._lines.resolution)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Who plays."""
        return self._score.parts

    def sample(self, onset: Fraction) -> int:
        """Where a moment lies, in samples from the movement's beginning."""
        return self._clock.sample(self._lines.tick(0, onset))

    @cached_property
    def _lasting(self) -> Sequence[Sequence[Happening]]:
        set_up = lasting(self._score, self._places, self._lines, self._performance)
        return [self._happenings(part, events) for part, events in enumerate(set_up)]

    def played(self, begin: Fraction, end: Fraction) -> tuple[tuple[Happening, ...], ...]:
        """For each part the messages of what it plays between two moments, and of all that lasts in the movement."""
        played = notes(self._score, self._lines, self._places, self._performance, (begin - RING, end))
        return tuple(
            in_order((
                *self._lasting[part],
                *self._happenings(part, sorted(messages_of(own, self._places.of_parts[part]), key=_order)),
            ))
            for part, own in enumerate(played)
        )  # fmt: skip

    def _happenings(self, part: int, events: Sequence[MidiEvent]) -> list[Happening]:
        port = self._places.of_parts[part].port
        return [Happening(self._clock.sample(tick), port, message) for tick, _, _, message in events]


def _order(event: MidiEvent) -> tuple[int, int, int]:
    return event[:3]


def middle_keys(score: Score) -> tuple[int | None, ...]:
    """For each part the key in the middle of all that it plays; None if it plays nothing of a pitch."""
    found = []
    for number, part in enumerate(score.parts):
        events = [event for movement in score.movements for event in events_of(movement.staves[number])]
        keys = [midi_key(head.pitch) for event in events for head in event.event.heads]
        found.append(None if part.instrument.unpitched or not keys else median_low(keys))
    return tuple(found)


_TONE = 80
"""The velocity of notes by themselves."""


def by_themselves(notes: Sequence[tuple[int, float, float]], program: int) -> tuple[Happening, ...]:
    """Notes that belong to no piece: each a key, when it begins and how long it is, in seconds."""
    events = [Happening(0, 0, Message("program_change", program=program))]
    for key, begin, length in notes:
        on, off = round(begin * RATE), round((begin + length) * RATE)
        events.append(Happening(on, 0, Message("note_on", note=key, velocity=_TONE)))
        events.append(Happening(off, 0, Message("note_off", note=key)))
    return in_order(events)
