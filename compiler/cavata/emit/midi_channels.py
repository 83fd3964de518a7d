"""Which of the sixteen MIDI channels each part plays on.

In: the parts in score order. Out: one channel a part, counted from 0; 9 (printed as 10) only for unpitched percussion,
as General MIDI Level 1 has it. The MIDI file and the `midi-instrument` elements of MusicXML use the same channels.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.instruments.instrument import Instrument

PERCUSSION = 9
PITCHED = tuple(channel for channel in range(16) if channel != PERCUSSION)
_FAMILY = 8
"""General MIDI Level 1 puts the 128 programmes in families of eight."""


def channels(instruments: Sequence[Instrument]) -> tuple[int, ...]:
    """A channel for each part: its own while the fifteen last, else one shared by all parts of the same programme.

    With more than fifteen programmes the later ones join a channel of their General MIDI family, or the last
    channel, and sound with the programme that is there already.
    """
    pitched = [instrument.program for instrument in instruments if not instrument.unpitched]
    if len(pitched) <= len(PITCHED):
        free = iter(PITCHED)
        return tuple(PERCUSSION if instrument.unpitched else next(free) for instrument in instruments)
    shared = _shared(pitched)
    return tuple(PERCUSSION if instrument.unpitched else shared[instrument.program] for instrument in instruments)


def _shared(programs: Sequence[int]) -> dict[int, int]:
    shared: dict[int, int] = {}
    for program in programs:
        if program in shared:
            continue
        if len(shared) < len(PITCHED):
            shared[program] = PITCHED[len(shared)]
        else:
            family = (channel for other, channel in shared.items() if other // _FAMILY == program // _FAMILY)
            shared[program] = next(family, PITCHED[-1])
    return shared
