"""How loud each part is beside the others, and where it sits, as volumes and places of MIDI channels.

In: the parts in score order. Out: a volume and a place for each. Dynamics are the notes' own; this is what makes one
flute heard beside the strings. The numbers are this project's own, after common practice: what carries least is helped
most, several on a line are a little louder than one, a soloist stands before the others. Places are those of an
orchestra as the audience sees it, first violins on the left and basses on the right; one part alone is in the middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.record import dataclass
from cavata.score.score import Part

MIDDLE, HIGHEST = 64, 127
"""Of a place, from 0 on the left to 127 on the right (General MIDI Level 1); the highest value of a control."""
_VOLUMES = {
    "woodwind": 98, "brass": 82, "percussion": 82, "keyboard": 88, "plucked": 96, "voice": 100, "strings": 74,
}  # fmt: skip
_SECTION, _SOLOIST = 4, 16
"""What is added where several play the part, and for a soloist."""
_FAMILY_PLACES = {
    "woodwind": 58, "brass": 76, "percussion": 44, "keyboard": 38, "plucked": 36, "voice": 64, "strings": 64,
}  # fmt: skip
_PLACES = {
    "piccolo": 50, "flute": 54, "oboe": 70, "English horn": 74, "clarinet": 56, "bass clarinet": 52, "bassoon": 72,
    "contrabassoon": 78, "horn": 46, "trumpet": 74, "trombone": 82, "bass trombone": 86, "tuba": 90, "timpani": 52,
    "violin": 34, "viola": 78, "cello": 88, "double bass": 98, "soprano": 44, "mezzo soprano": 54, "alto": 60,
    "tenor": 72, "baritone": 80, "bass voice": 84, "harp": 30,
}  # fmt: skip
_APART = 10
"""How far each further part of an instrument sits from the one before, towards the right."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A volume and a place, both from 0 to 127."""

    volume: int
    place: int


def seats(parts: Sequence[Part]) -> tuple[Seat, ...]:
    """For each part its volume and its place."""
    return tuple(_seats(parts))


def _seats(parts: Sequence[Part]) -> Iterator[Seat]:
    seated: dict[str, int] = {}
    for part in parts:
        instrument = part.instrument
        volume = _VOLUMES[instrument.family] + (_SECTION if part.section else 0) + (_SOLOIST if part.soloist else 0)
        before = seated.get(instrument.key, 0)
        seated[instrument.key] = before + 1
        place = _PLACES.get(instrument.key, _FAMILY_PLACES[instrument.family]) + _APART * before
        alone = len(parts) == 1 or part.soloist
        yield Seat(min(volume, HIGHEST), MIDDLE if alone else min(place, HIGHEST))
