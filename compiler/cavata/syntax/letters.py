"""The nodes of values that come from letters, digits and chord symbols, and of modes that a script defines."""

from __future__ import annotations

from fractions import Fraction

from cavata.record import dataclass
from cavata.source import Span
from cavata.syntax.atoms import Atom, Text, Word


@dataclass(frozen=True, slots=True)
class OwnMode:
    """`mode gallery = D E F G A Bb C#`: each degree a note name."""

    name: Word
    degrees: tuple[Atom, ...]
    remark: str
    span: Span


@dataclass(frozen=True, slots=True)
class LettersRhythm:
    """`morse "HEDDA" unit 1/16` or `durations hedda unit 1/16 with 24 letters`."""

    kind: str
    """`morse` or `durations`."""
    letters: Text | Word
    unit: Fraction
    alphabet: int
    """How many letters the alphabet of `durations` counts."""
    span: Span


@dataclass(frozen=True, slots=True)
class DigitsLiteral:
    """`digits "1904" in gallery`, or `in D minor`: the words of the mode as they stand."""

    digits: Text
    mode: tuple[Atom | Word, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class SymbolBeat:
    """`Dm 1/2`; no symbol for a rest."""

    symbol: str
    duration: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class ChordsLiteral:
    """`chords(Dm 1/2, rest 1/4, A7 1/4)`."""

    beats: tuple[SymbolBeat, ...]
    span: Span
