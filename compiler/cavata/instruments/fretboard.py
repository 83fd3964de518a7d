"""How a chord lies on a fretboard: strings, frets, fingers and a barre, found by trying every string for every note.

In: an instrument with frets and sounding pitches. Out: all ways to take them that a left hand has: one note a string,
four fingers, and the outer fingers no farther apart than a hand reaches, which is a distance and not a number of frets,
since frets grow narrower. A finger laid over a fret stops every string between the outermost notes that it takes, so
that no open string may sound among them. Source: guitarists' pages for composers (a hand has four frets, one finger
each, up to six if needed; a barre takes one finger); distances follow from those frets on a string of 650 mm: four from
the first, five from the seventh and six from the twelfth are 97, 90 and 82 mm, and each with one fret more 126 at most.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from cavata.instruments.instrument import Instrument
from cavata.music.pitch import Pitch
from cavata.record import record

SCALES = {
    "guitar": 650, "electric guitar": 648, "bass guitar": 864, "mandolin": 350, "banjo": 580, "ukulele": 345,
}  # fmt: skip
"""Lengths of the open strings in millimeters. Source: common practice, from memory."""
_SCALE = 650
REACH = (100, 130)
"""From which distance in millimeters between the outer fingers a chord needs care, and beyond which nobody takes it."""
MOST_FRETS, MOST_SMALL_FRETS = 6, 8
"""Frets from the first finger to the last, both counted, however narrow they are; on small instruments more."""
_SMALL = 500
FINGERS = 4
PLUCKED_AT_ONCE = 4
"""So many notes are plucked one by one, by the thumb and three fingers; more are strummed, from memory."""


@record
class Shape:
    """How notes that sound at once lie under the left hand."""

    strings: tuple[int, ...]
    """For each pitch its string, counted from 0 at the lowest place."""
    frets: tuple[int, ...]
    """For each pitch its fret; 0 for the open string."""
    fingers: int
    """How many it takes; a barre, over several strings at the lowest fret that is stopped, takes one."""
    low: int
    """Millimeters from the nut to the finger nearest to it; 0 if all strings are open."""
    high: int
    """The same to the farthest."""

    @property
    def spread(self) -> int:
        """Millimeters between the outer fingers."""
        return self.high - self.low

    @property
    def has_barre(self) -> bool:
        """Whether one finger stops several strings."""
        return self.fingers < sum(fret > 0 for fret in self.frets)

    def slides_to(self, other: Shape) -> bool:
        """Whether the hand gets to another shape with all fingers on their strings."""
        ways = {after - before for before, after in zip(self.frets, other.frets, strict=False)}
        return self.strings == other.strings and len(ways) == 1 and 0 not in (*self.frets, *other.frets)

    @property
    def position(self) -> int:
        """The lowest fret that is stopped; 0 if all strings are open."""
        return min((fret for fret in self.frets if fret), default=0)

    def drawn(self, count: int) -> str:
        """The frets from the lowest string to the highest of `count`, as guitarists write them: `x02210`."""
        frets = dict(zip(self.strings, self.frets, strict=True))
        names = [str(frets[string]) if string in frets else "x" for string in range(count)]
        return ("" if all(len(name) == 1 for name in names) else " ").join(names)


def place_of(instrument: Instrument, fret: int) -> int:
    """Millimeters from the nut to a fret."""
    return round(SCALES.get(instrument.key, _SCALE) * (1 - 2 ** (-fret / 12)))


@lru_cache(maxsize=4096)
def shapes_of(instrument: Instrument, pitches: tuple[Pitch, ...], reach: float = 1.0) -> tuple[Shape, ...]:
    """All ways to take some pitches, the closest and lowest first; `reach` multiplies how far a hand reaches."""
    keys = [pitch.midi for pitch in pitches]
    if len(keys) > len(instrument.strings):
        return ()
    assigned = _assigned(instrument, keys, REACH[1] * reach)
    found = [shape for strings, frets in assigned if (shape := _shape(instrument, strings, frets)) is not None]
    return tuple(sorted(found, key=lambda shape: (shape.spread, shape.fingers, shape.position, shape.strings)))


def shape_of(instrument: Instrument, pitches: tuple[Pitch, ...], reach: float = 1.0) -> Shape | None:
    """The way with the least stretch; None where there is none."""
    return next(iter(shapes_of(instrument, pitches, reach)), None)


def _assigned(
    instrument: Instrument, keys: list[int], farthest: float
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every choice of strings that stays within reach, left off as soon as it does not."""
    places = [
        [
            (string, key - open_.midi, place_of(instrument, key - open_.midi))
            for string, open_ in enumerate(instrument.strings) if 0 <= key - open_.midi <= instrument.frets
        ]
        for key in keys
    ]  # fmt: skip
    most = (MOST_FRETS if SCALES.get(instrument.key, _SCALE) > _SMALL else MOST_SMALL_FRETS) - 1
    order = sorted(range(len(keys)), key=lambda note: len(places[note]))
    strings, frets = [0] * len(keys), [0] * len(keys)

    def taken(
        done: int, used: int, low: int, high: int, lowest: int, highest: int
    ) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
        if done == len(keys):
            yield tuple(strings), tuple(frets)
            return
        note = order[done]
        for string, fret, place in places[note]:
            if used >> string & 1:
                continue
            near, far = (min(low, place), max(high, place)) if fret else (low, high)
            first, last = (min(lowest, fret), max(highest, fret)) if fret else (lowest, highest)
            if far - near <= farthest and last - first <= most:
                strings[note], frets[note] = string, fret
                yield from taken(done + 1, used | 1 << string, near, far, first, last)

    yield from taken(0, 0, 10**6, 0, 10**6, 0)


def _shape(instrument: Instrument, strings: tuple[int, ...], frets: tuple[int, ...]) -> Shape | None:
    """The shape of such a choice, if four fingers are enough."""
    stopped = [fret for fret in frets if fret]
    if not stopped:
        return Shape(strings, frets, 0, 0, 0)
    lowest = min(stopped)
    fingers = len(stopped)
    across = [string for string, fret in zip(strings, frets, strict=True) if fret == lowest]
    open_ = [string for string, fret in zip(strings, frets, strict=True) if not fret]
    can_lie = not any(min(across) < string < max(across) for string in open_)
    if can_lie and (fingers > FINGERS or len(across) > 2):
        fingers -= len(across) - 1
    if fingers > FINGERS:
        return None
    return Shape(strings, frets, fingers, place_of(instrument, lowest), place_of(instrument, max(stopped)))
