"""Where something looked for was found, and how."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.trace.subject import Form, Subject


class Closeness(Enum):
    """How much of the subject's pitches is kept, the closest first."""

    AT_PITCH = "exact"
    TRANSPOSED = "transposed"
    OCTAVES = "octaves changed"
    INFLECTED = "inflected"
    MOVED_INFLECTED = "transposed and inflected"


class Spacing(Enum):
    """How its notes lie, the closest first."""

    ADJACENT = "one after another"
    WOVEN = "woven"
    BETWEEN = "with notes between"
    CHORD = "as a chord"
    SPLIT = "split over voices"


@record
class Kind:
    """The sort of a hit; hits of one sort are weighed together."""

    form: Form
    closeness: Closeness
    spacing: Spacing


@record
class Chance:
    """How many hits of a kind there are, against how many the null model expects."""

    found: int
    expected: float

    @property
    def probability(self) -> float:
        """How often a random piece of the same interval statistics has at least as many."""
        from cavata.trace.chance import at_least

        return at_least(self.found, self.expected)

    @property
    def verdict(self) -> str:
        """In words: below 1 in 100 meant, above 1 in 5 chance."""
        return "meant" if self.probability < 0.01 else "chance" if self.probability > 0.2 else "open"


@record
class Hit:
    """One place."""

    subject: Subject
    kind: Kind
    also: tuple[Form, ...]
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
        return self.first_bar if self.first_bar == self.last_bar else f"{self.first_bar}-{self.last_bar}"
