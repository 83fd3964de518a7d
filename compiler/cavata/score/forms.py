"""The form in which a name sounds, in the trade's terms, from the steps that its notes went through.

In: steps as notes remember them, read back by the table of steps: which one it was, and with which arguments. Out:
forms in a fixed order, none twice. What cancels out is not told: a retrograde of a retrograde goes forward, and one
made twice as slow and then twice as fast is as it was. Markings and ornaments give no form, nor does one that a script
defines itself, whose inner steps are remembered beside it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import Enum
from fractions import Fraction
from functools import cache

from cavata.record import record
from cavata.transforms.signature import (
    ArgumentKind,
    Choice,
    Fixed,
    Option,
    OptionalChoice,
    OptionalSlot,
    PatternPart,
    Slot,
)
from cavata.transforms.table import COMBINATIONS, TRANSFORMS, Transform


class Form(Enum):
    """How a statement differs from the name as the cipher gives it; its value is the key of its words."""

    RETROGRADE = "retrograde"
    INVERSION = "inversion"
    CHORD = "chord"
    BROKEN_CHORD = "broken_chord"
    WOVEN = "woven"
    CANON = "canon"
    HOCKET = "hocket"
    DIALOGUE = "dialogue"
    OVER_BASS = "over_bass"
    HARMONIZED = "harmonized"
    AUGMENTATION = "augmentation"
    DIMINUTION = "diminution"
    RHYTHM = "rhythm"
    TRANSPOSED = "transposed"
    EXPANDED = "expanded"
    IN_PART = "in_part"
    ROTATED = "rotated"
    SEQUENCE = "sequence"
    FIGURED = "figured"


_SIMPLE = {
    "up": Form.TRANSPOSED, "down": Form.TRANSPOSED, "step": Form.TRANSPOSED, "expanded": Form.EXPANDED,
    "rotated": Form.ROTATED, "first": Form.IN_PART, "last": Form.IN_PART, "notes": Form.IN_PART,
    "without": Form.IN_PART, "cut": Form.IN_PART, "sequence": Form.SEQUENCE, "doubled": Form.HARMONIZED,
    "harmonized": Form.HARMONIZED, "neighbors": Form.FIGURED, "passing": Form.FIGURED, "weave": Form.WOVEN,
    "canon": Form.CANON, "stretto": Form.CANON, "hocket": Form.HOCKET, "dialogue": Form.DIALOGUE,
    "pedal_point": Form.OVER_BASS,
    "ostinato": Form.OVER_BASS,
}  # fmt: skip
"""Steps, by their words, that say what they make of a line and leave every other form as it is."""
_OCTAVES = frozenset(["P8", "P15", "P22"])


def forms_of(steps: Sequence[str]) -> tuple[Form, ...]:
    """The forms that a chain of steps leaves a line in."""
    found: set[Form] = set()
    slower = Fraction(1)
    for step in steps:
        read = read_step(step)
        if read is None:
            continue
        word = read.pattern.split()[0]
        match word:
            case "retrograde":
                found ^= {Form.RETROGRADE}
            case "inverted":
                found ^= {Form.INVERSION}
            case "as":
                found = found - {Form.BROKEN_CHORD} | {Form.CHORD}
            case "broken":
                found = found - {Form.CHORD} | {Form.BROKEN_CHORD}
            case "in":
                found, slower = found | {Form.RHYTHM}, Fraction(1)
            case "augmentation":
                slower *= _ratio(read)
            case "diminution":
                slower /= _ratio(read)
            case _ if word in _SIMPLE and not _by_octaves(read):
                found.add(_SIMPLE[word])
            case _:
                pass
    if slower != 1:
        found.add(Form.AUGMENTATION if slower > 1 else Form.DIMINUTION)
    return tuple(form for form in Form if form in found)


def _ratio(step: ReadStep) -> Fraction:
    """The ratio of a step as written; 1 where it is a parameter, whose value is not remembered."""
    first, _, second = step.arguments[0].partition(":")
    if not (first.isdigit() and (second.isdigit() or not second)):
        return Fraction(1)
    return Fraction(int(first), int(second or 1)) or Fraction(1)


def _by_octaves(step: ReadStep) -> bool:
    """Moved by octaves only, which is the same line in another register."""
    return step.pattern in ("up INTERVAL", "down INTERVAL") and step.arguments[0] in _OCTAVES


# ------------------------------------------------------------------ steps read back


@record
class ReadStep:
    """A step of the kernel, or a combination, with what it was given."""

    pattern: str
    """As the table of steps has it; of a combination its word."""
    arguments: tuple[str, ...] = ()


def read_step(text: str) -> ReadStep | None:
    """The step that a text writes; None for one that is a script's own."""
    word = text.split(maxsplit=1)[0] if text.strip() else ""
    if word in COMBINATIONS and word == text.strip():
        return ReadStep(word)
    # A pattern with more words of its own says more exactly what is meant: `without symbols`, not `without NOTES`.
    for transform in sorted(TRANSFORMS.get(word, ()), key=_words_of_its_own, reverse=True):
        found = _expression(transform).fullmatch(" ".join(text.split()))
        if found:
            return ReadStep(transform.pattern, tuple(group or "" for group in found.groups()))
    return None


def _words_of_its_own(transform: Transform) -> int:
    return sum(isinstance(part, Fixed) for part in transform.parts)


@cache
def _expression(transform: Transform) -> re.Pattern[str]:
    return re.compile(transform.word + "".join(map(_part, transform.parts)))


def _part(part: PatternPart) -> str:
    match part:
        case Slot(kind=ArgumentKind.DURATION):
            return r" (\d+/\d+\.{0,2}|(?!last$)[^\W\d]\w*)"
        case Slot():
            return r" (.+?)"
        case Fixed(word):
            return f" {word}"
        case Choice(words):
            return f" ({'|'.join(words)})"
        case OptionalSlot():
            return r"(?: (.+?))?"
        case Option(word):
            return f"(?: ({word}))?"
        case OptionalChoice(words):
            return f"(?: ({'|'.join(words)}))?"
