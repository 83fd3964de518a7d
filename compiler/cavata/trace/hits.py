"""Where something looked for was found, and how."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.trace.subject import LineForm, Subject


class Closeness(Enum):
    """How much of the subject's pitches is kept, the closest first."""

    AT_PITCH = "exact"
    TRANSPOSED = "transposed"
    OCTAVES = "octaves changed"
    INFLECTED = "inflected"
    MOVED_INFLECTED = "transposed and inflected"
    CLASSES = "at pitch, octaves changed"
    """Weighed by itself, since it is much rarer; a hit of it is told as one of `OCTAVES` that is not transposed."""


class Spacing(Enum):
    """How its notes lie, the closest first."""

    ADJACENT = "consecutive"
    WOVEN = "woven"
    BETWEEN = "with notes between"
    CHORD = "as a chord"
    SPLIT = "split between voices"


@record
class HitKind:
    """The sort of a hit; hits of one sort are weighed together."""

    form: LineForm
    closeness: Closeness
    spacing: Spacing


@record
class Chance:
    """How a name's hits of one kind stand among those of names made by chance."""

    found: int
    """Closer hits, being of the kind too, are among them."""
    expected: float
    """How many such a name has on average."""
    as_good: int
    """How many of them score as high in this kind, by how many they have and how common their steps are."""
    decoys: int

    @property
    def probability(self) -> float:
        """How often such a name does as well in this kind; the kind is one of many."""
        return (self.as_good + 1) / (self.decoys + 1)


@record
class Hit:
    """One place."""

    subject: Subject
    kind: HitKind
    also: tuple[LineForm, ...]
    title: str
    """The movement's or tune's name."""
    parts: tuple[str, ...]
    """One, or each note's for a hit split over voices."""
    first_bar: str
    last_bar: str
    onset: Fraction
    notes: tuple[tuple[int, int], ...]
    """Line and note of each, counted from 0 in the score as heard."""
    pitches: tuple[Pitch, ...]
    shift: int
    """Semitones up from the subject's own pitch, 0 to 11; 0 for a hit that is only inflected."""
    foreign: int
    """How many other notes lie between."""
    inflected: tuple[int, ...]
    """Which notes are a semitone off, counted from 1."""
    across_rest: bool
    even: bool
    """Whether the notes all have one duration, as a name has when it is laid out."""

    @property
    def bars(self) -> str:
        """`13`, or `1-2`."""
        return bars_text(self.first_bar, self.last_bar)


def bars_text(first: str, last: str) -> str:
    """From one bar to another: `1-2`, or `13` where they are the same."""
    return first if first == last else f"{first}-{last}"
