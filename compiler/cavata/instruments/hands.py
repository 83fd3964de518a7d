"""How a chord around middle C is shared between the two hands of a player: only what one hand cannot take is shared.

In: an instrument with a staff for each hand, and pitches from the lowest. Out: how many of the lower ones the left hand
takes where it must help. What a hand has, `keyboards` and `harp_hands` know; instruments of which they know nothing are
played as pianos are. A chord that lies on one side of middle C stays on one staff: that is what edition 2 of the
language means.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from cavata.instruments.harp_hands import HARP, is_one_hand
from cavata.instruments.instrument import Instrument
from cavata.instruments.keyboards import OCTAVES, PIANO_OCTAVE, REACH, hand_of, width
from cavata.music.pitch import MIDDLE_C, Pitch

LEFT = "left"


def has_in_one_hand(instrument: Instrument, pitches: Sequence[Pitch], left: bool) -> bool:
    """Whether one hand takes these notes at once."""
    if instrument.key == HARP:
        return is_one_hand(pitches)
    octave = OCTAVES.get(instrument.key, PIANO_OCTAVE)
    hand = hand_of([pitch.midi for pitch in pitches], left, octave)
    return hand is not None and hand.possible(width(REACH))


@lru_cache(maxsize=1024)
def lower_hand(instrument: Instrument, pitches: tuple[Pitch, ...], left: bool) -> int:
    """How many of the lower notes the left hand takes, since one hand, the left or the right one, cannot take them all.

    Those below middle C, if both hands then have what is theirs, or if no other way is there; else so that they have
    about as many. 0 where one hand has all.
    """
    below = sum(pitch.midi < MIDDLE_C.midi for pitch in pitches)
    if not 0 < below < len(pitches):
        return 0
    if pitches[-1].midi - pitches[0].midi <= REACH and has_in_one_hand(instrument, pitches, left):
        return 0
    for count in sorted(range(1, len(pitches)), key=lambda count: (count != below, abs(2 * count - len(pitches)))):
        low, high = pitches[:count], pitches[count:]
        if has_in_one_hand(instrument, low, True) and has_in_one_hand(instrument, high, False):
            return count
    return below
