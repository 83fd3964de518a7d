"""The smallest nodes of values: words, texts and constants.

Numbers, pitches and durations are already values; words are still words.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.record import dataclass
from cavata.source import Span


@dataclass(frozen=True, slots=True)
class Word:
    """A name or a word of the language; which of them, the name pass decides."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Text:
    """A string, its quotes taken off."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Atom:
    """A constant among a step's arguments."""

    value: int | Ratio | Fraction | Pitch | PitchClass | Interval | PitchRange
    span: Span


@dataclass(frozen=True, slots=True)
class Ratio:
    """`3:2` as a ratio; kept apart from durations, which are fractions too."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class PitchRange:
    """`Bb1..C5`."""

    low: Pitch
    high: Pitch
