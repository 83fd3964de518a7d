"""One instrument as the composer and the page need to know it."""

from __future__ import annotations

from cavata.music.pitch import Interval, Pitch
from cavata.record import dataclass

WINDS = ("woodwind", "brass")
"""The families of wind instruments."""


@dataclass(frozen=True, slots=True)
class Drum:
    """One of a set of timpani: its size, and the pitches it can be tuned to."""

    size: str
    lowest: Pitch
    highest: Pitch


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument of the table in `stdlib/instruments.toml`. Ranges and strings are sounding pitches."""

    key: str
    """The words a script calls it by, in the singular, as `bass clarinet`."""
    family: str
    """`woodwind`, `brass`, `percussion`, `keyboard`, `plucked`, `voice` or `strings`."""
    order: int
    """Its place in score order, from the top of the page."""
    name: str
    """As printed before the first system, in English."""
    abbreviation: str
    plural: str
    """The words for a section of them, as `violins`; also printed for a part that asks for the section."""
    clefs: tuple[str, ...]
    """The clefs a player reads, the usual first: `treble`, `bass`, `alto`, `tenor`, `treble_8`,
    `percussion`. For an instrument of two staves: the upper staff's, then the lower staff's."""
    lowest: Pitch | None
    """The lowest pitch in professional use; None for an unpitched instrument."""
    highest: Pitch | None
    comfortable: tuple[Pitch, Pitch] | None
    """The range any good player commands."""
    transposition: Interval
    """From the written pitch to the sounding one: down a major second for a clarinet in B flat."""
    program: int
    """General MIDI programme, counted from 0; for unpitched percussion 0."""
    percussion_key: int | None
    """Key on MIDI channel 10 for unpitched percussion."""
    staves: tuple[str, ...]
    """`("",)` for one staff, `("right", "left")` for two."""
    source: str
    """Where the values come from."""
    extreme: tuple[Pitch, Pitch] | None = None
    """What few players reach, or only on some instruments; the usual range where nothing lies beyond it."""
    section: tuple[Pitch, Pitch] | None = None
    """The range in which several on one line are at ease; None where they are judged as one player is."""
    strings: tuple[Pitch, ...] = ()
    """The open strings from the lowest string; not always in the order of their pitches."""
    drums: tuple[Drum, ...] = ()
    """Of a set of timpani, from the largest."""
    doubles: tuple[str, ...] = ()
    """The keys of other instruments that the same player is often asked to take up."""

    @property
    def unpitched(self) -> bool:
        """Whether it is written without pitch, on one line of rhythm."""
        return self.percussion_key is not None
