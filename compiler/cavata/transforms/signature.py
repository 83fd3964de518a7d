"""How a step or combination is written: a pattern in words, read once into its parts.

`sequence COUNT by INTERVAL up|down` has two arguments of a kind, one fixed word, and one choice of
words. The same pattern serves the name pass, the messages and the reference.
"""

from __future__ import annotations

from enum import Enum

from cavata.record import record


class ArgumentKind(Enum):
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


KIND_WORDS: dict[ArgumentKind, str] = {
    ArgumentKind.COUNT: "a number",
    ArgumentKind.RATIO: "a number or a ratio such as `3:2`",
    ArgumentKind.DURATION: "a duration such as `1/4`",
    ArgumentKind.INTERVAL: "an interval such as `m3`",
    ArgumentKind.PITCH: "a pitch such as `F#4`",
    ArgumentKind.CLASS: "a note name such as `F#`",
    ArgumentKind.RANGE: "a range such as `C3..C5`",
    ArgumentKind.MODE: "a mode such as `D minor`",
    ArgumentKind.RHYTHM: "a rhythm or a figure",
    ArgumentKind.NOTES: "notes, as `1 3 5..8`, `last`, `letter 2` or a letter in quotes",
    ArgumentKind.MARKINGS: "a dynamic, an articulation, a technique or words in quotes",
    ArgumentKind.DYNAMIC: "a dynamic such as `mf`",
    ArgumentKind.SPAN: "a duration such as `1/2`, or `1 bar` in a score line",
    ArgumentKind.MOTIF: "a motif",
    ArgumentKind.PARTS: "names of parts and groups",
    ArgumentKind.TEXT: "a text in quotes",
    ArgumentKind.INSTRUMENT: "an instrument, as `piccolo`",
}


@record
class Slot:
    """An argument of a kind."""

    kind: ArgumentKind


@record
class OptionalSlot:
    """An argument of a kind that may stand there; None where it does not."""

    kind: ArgumentKind


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


PatternPart = Slot | OptionalSlot | Fixed | Choice | Option | OptionalChoice


def read_pattern(pattern: str) -> tuple[PatternPart, ...]:
    """The parts of a pattern after its first word."""
    return tuple(_part(text) for text in pattern.split()[1:])


def _part(text: str) -> PatternPart:
    if text.isupper() and text[0] != "[":
        return Slot(ArgumentKind(text))
    if text.startswith("[") and text[1:-1].isupper():
        return OptionalSlot(ArgumentKind(text[1:-1]))
    if text.startswith("[") and "|" in text:
        return OptionalChoice(tuple(text[1:-1].split("|")))
    if text.startswith("["):
        return Option(text[1:-1])
    if "|" in text:
        return Choice(tuple(text.split("|")))
    return Fixed(text)
