"""Techniques and the pedal as MIDI messages.

In: a part through the movements. Out: programs and pedal controls, each at its moment. A plucked string sounds with
program 46 of General MIDI (45 counted from 0), a muted trumpet with 60; other mutes only make notes softer. What has
no program of its own is left to the page, as are harmonics and the place of the bow. Every movement begins as the
instrument is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from operator import itemgetter
from typing import TypeVar

from mido import Message

from cavata.instruments.instrument import Instrument
from cavata.music.event import MUTES
from cavata.score.score import Movement, Part, Score, events_of
from cavata.sound.time import Timeline

PIZZICATO, MUTED_TRUMPET = 45, 59
BOWED = frozenset((40, 41, 42, 43, 44, 48, 49))
"""The solo strings, tremolo strings and string ensembles."""
TRUMPET = 56
MUTED_BY = 9
"""A mute without a program of its own makes notes softer, by less than the step to the next dynamic."""
UNMUTED = MUTES[0]
SUSTAIN = 64
"""The control of the damper pedal."""
_Set = TypeVar("_Set")


class Programs:
    """Which program a part plays with at every moment of a movement."""

    def __init__(self, player: Part, movement: Movement, part: int) -> None:
        self.turns: list[tuple[Fraction, int]] = [(Fraction(0), player.instrument.program)]
        """Moments with the program from there on, the first at the beginning."""
        self._mutes: list[tuple[Fraction, bool]] = [(Fraction(0), False)]
        plucked = muted = False
        for onset, techniques in sorted((*_techniques(movement, part), *_changes(movement, player))):
            plucked = "pizzicato" in techniques or (plucked and "arco" not in techniques)
            said = [word for word in techniques if word in MUTES]
            muted = said[-1] != UNMUTED if said else muted
            wanted = _program(movement.instrument_of(player, onset), plucked, muted)
            if wanted != self.turns[-1][1]:
                self.turns.append((onset, wanted))
            self._mutes.append((onset, muted and wanted != MUTED_TRUMPET))

    def softened(self, onset: Fraction) -> int:
        """What a mute takes from the velocity at a moment, where no program stands for it."""
        return MUTED_BY if _latest(self._mutes, onset) else 0

    def at(self, onset: Fraction) -> int:
        """The program at a moment."""
        return _latest(self.turns, onset)


def _latest(turns: Sequence[tuple[Fraction, _Set]], onset: Fraction) -> _Set:
    """What holds at a moment; most players never change anything."""
    return turns[bisect_right(turns, onset, key=itemgetter(0)) - 1 if len(turns) > 1 else 0][1]


def further_programs(score: Score, part: int) -> tuple[int, ...]:
    """The programs that techniques and other instruments of the player ask for, in the order of their numbers."""
    player = score.parts[part]
    turns = (Programs(player, movement, part).turns for movement in score.movements)
    return tuple(sorted({program for turn in turns for _, program in turn} - {player.instrument.program}))


def program_changes(score: Score, part: int, channel: int, lines: Timeline) -> Iterator[tuple[int, Message]]:
    """Changes of program on a channel of the part's own."""
    player = score.parts[part]
    for number, movement in enumerate(score.movements):
        turns = Programs(player, movement, part).turns
        for onset, program in turns[1:]:
            yield lines.tick(number, onset), _change(channel, program)
        if turns[-1][1] != player.instrument.program:
            yield lines.tick(number, movement.duration), _change(channel, player.instrument.program)


def _techniques(movement: Movement, part: int) -> Iterator[tuple[Fraction, tuple[str, ...]]]:
    for event in events_of(movement.staves[part]):
        if event.event.marks.techniques:
            yield event.onset, event.event.marks.techniques


def _changes(movement: Movement, player: Part) -> Iterator[tuple[Fraction, tuple[str, ...]]]:
    """The moments at which the player takes up another instrument, or the usual one again."""
    for change in movement.changes:
        if change.part == player.name:
            yield change.begin, ()
            if change.end < movement.duration:
                yield change.end, ()


def _program(instrument: Instrument, plucked: bool, muted: bool) -> int:
    if plucked and instrument.program in BOWED:
        return PIZZICATO
    return MUTED_TRUMPET if muted and instrument.program == TRUMPET else instrument.program


def _change(channel: int, program: int) -> Message:
    return Message("program_change", channel=channel, program=program)


def pedal_switches(score: Score, part: int, channel: int, lines: Timeline) -> Iterator[tuple[int, bool, Message]]:
    """The pedal going down (True) and up, in no order."""
    for number, movement in enumerate(score.movements):
        for event in events_of(movement.staves[part]):
            if event.event.marks.pedal_begins:
                yield lines.tick(number, event.onset), True, _pedal(channel, 127)
            if event.event.marks.pedal_ends:
                yield lines.tick(number, event.end), False, _pedal(channel, 0)


def _pedal(channel: int, value: int) -> Message:
    return Message("control_change", channel=channel, control=SUSTAIN, value=value)
