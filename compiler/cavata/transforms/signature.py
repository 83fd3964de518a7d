"""How a step or combination is written: a pattern in words, read once into its parts.

`sequence COUNT by INTERVAL up|down` has two arguments of a kind, one fixed word, and one choice of
words. The same pattern serves the name pass, the messages and the reference.
"""

from __future__ import annotations

from enum import Enum

from cavata.record import record


class Kind(Enum):
    """What an argument must be."""

    COUNT = "COUNT"
    RATIO = "RATIO"
    DURATION = "DURATION"
    INTERVAL = "INTERVAL"
    PITCH = "PITCH"
    CLASS = "CLASS"
    RANGE = "RANGE"
    MODE = "MODE"
    RHYTHM = "RHYTHM"
    NOTES = "NOTES"
    MARKINGS = "MARKINGS"
    DYNAMIC = "DYNAMIC"
    SPAN = "SPAN"
    MOTIF = "MOTIF"
    PARTS = "PARTS"
    TEXT = "TEXT"
    INSTRUMENT = "INSTRUMENT"


KIND_WORDS: dict[Kind, str] = {
    Kind.COUNT: "a number",
    Kind.RATIO: "a number or a ratio such as `3:2`",
    Kind.DURATION: "a duration such as `1/4`",
    Kind.INTERVAL: "an interval such as `m3`",
    Kind.PITCH: "a pitch such as `F#4`",
    Kind.CLASS: "a note name such as `F#`",
    Kind.RANGE: "a range such as `C3..C5`",
    Kind.MODE: "a mode such as `D minor`",
    Kind.RHYTHM: "a rhythm or a figure",
    Kind.NOTES: "notes, as `1 3 5..8`, `last`, `letter 2` or a letter in quotes",
    Kind.MARKINGS: "a dynamic, an articulation, a technique or words in quotes",
    Kind.DYNAMIC: "a dynamic such as `mf`",
    Kind.SPAN: "a duration such as `1/2`, or `1 bar` in a score line",
    Kind.MOTIF: "a motif",
    Kind.PARTS: "names of parts and groups",
    Kind.TEXT: "a text in quotes",
    Kind.INSTRUMENT: "an instrument, as `piccolo`",
}


@record
class Slot:
    """An argument of a kind."""

    kind: Kind


@record
class OptionalSlot:
    """An argument of a kind that may stand there; None where it does not."""

    kind: Kind


@record
class Fixed:
    """A word that must stand there."""

    word: str


@record
class Choice:
    """One of several words; the one taken is an argument."""

    words: tuple[str, ...]


@record
class Option:
    """A word that may stand there; whether it does is an argument."""

    word: str


@record
class OptionalChoice:
    """One of several words that may stand there; the one taken is an argument, empty for none."""

    words: tuple[str, ...]


Part = Slot | OptionalSlot | Fixed | Choice | Option | OptionalChoice


def read_pattern(pattern: str) -> tuple[Part, ...]:
    """The parts of a pattern after its first word."""
    return tuple(_part(text) for text in pattern.split()[1:])


def _part(text: str) -> Part:
    if text.isupper() and text[0] != "[":
        return Slot(Kind(text))
    if text.startswith("[") and text[1:-1].isupper():
        return OptionalSlot(Kind(text[1:-1]))
    if text.startswith("[") and "|" in text:
        return OptionalChoice(tuple(text[1:-1].split("|")))
    if text.startswith("["):
        return Option(text[1:-1])
    if "|" in text:
        return Choice(tuple(text.split("|")))
    return Fixed(text)
