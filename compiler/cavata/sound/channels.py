"""Which of the sixteen MIDI channels each part plays on.

In: the parts in score order. Out: a place for each: a port, and a channel counted from 0; 9 (printed as 10) only for
unpitched percussion, as General MIDI Level 1 has it. The MIDI file and the `midi-instrument` elements of MusicXML use
the same channels.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from cavata.instruments.instrument import Instrument
from cavata.record import dataclass

PERCUSSION = 9
PITCHED = tuple(channel for channel in range(16) if channel != PERCUSSION)
_FAMILY = 8
"""General MIDI Level 1 puts the 128 programmes in families of eight."""


@dataclass(frozen=True, slots=True)
class Place:
    """A channel of a port. Ports beyond the first are for what sixteen channels do not hold."""

    channel: int
    port: int = 0


@dataclass(frozen=True, slots=True)
class Places:
    """Where everything plays."""

    of_parts: tuple[Place, ...]
    of_programs: Mapping[int, Place]
    """Where parts share channels, by their programmes; empty if each has its own."""

    def place_for(self, part: int, program: int) -> Place:
        """Where a part's notes with a programme play: its own place, or on its port that of the programme."""
        own = self.of_parts[part]
        place = self.of_programs.get(program, own)
        return place if place.port == own.port else own

    def is_own(self, part: int) -> bool:
        """Whether no other part plays on the channel of a part."""
        return self.of_parts.count(self.of_parts[part]) == 1


def channels(instruments: Sequence[Instrument]) -> tuple[int, ...]:
    """A channel for each part, whatever the port."""
    return tuple(place.channel for place in places(instruments).of_parts)


def places(instruments: Sequence[Instrument], further: Sequence[Sequence[int]] = ()) -> Places:
    """A place for each part: a channel of its own while the fifteen last, else one for all parts of a programme.

    `further` are for each part the programmes that its techniques ask for, as plucked strings; where channels are
    shared they have one too, on the port of the part, which is the first.
    What fifteen channels do not hold plays on a second port, on the channel of a programme of its family: a player
    that knows no ports gives it a relative's sound.
    """
    pitched = [instrument.program for instrument in instruments if not instrument.unpitched]
    percussion = Place(PERCUSSION)
    if len(pitched) <= len(PITCHED):
        free = iter(PITCHED)
        return Places(tuple(percussion if i.unpitched else Place(next(free)) for i in instruments), {})
    changing = [
        program
        for instrument, others in zip(instruments, further, strict=False)
        for program in ((instrument.program, *others) if others else ())
    ]
    shared = _shared([*changing, *pitched])
    return Places(tuple(percussion if i.unpitched else shared[i.program] for i in instruments), shared)


def _shared(programs: Sequence[int]) -> dict[int, Place]:
    shared: dict[int, Place] = {}
    for program in dict.fromkeys(programs):
        number = len(shared)
        if number < len(PITCHED):
            shared[program] = Place(PITCHED[number])
            continue
        port = number // len(PITCHED)
        taken = {place.channel for place in shared.values() if place.port == port}
        family = [p.channel for other, p in shared.items() if not p.port and other // _FAMILY == program // _FAMILY]
        shared[program] = Place(next(channel for channel in (*family, *PITCHED) if channel not in taken), port)
    return shared
