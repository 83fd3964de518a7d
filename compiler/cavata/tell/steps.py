"""Steps as notes remember them, read back: which step of the kernel it was, and with which arguments.

In: a text such as `inverted about A3`. Out: the pattern it was written by, `inverted about PITCH`, and its arguments
as texts; nothing for a step that a script defines itself, whose inner steps are remembered beside it.
"""

from __future__ import annotations

import re
from functools import cache

from cavata.record import dataclass
from cavata.transforms.signature import Choice, Fixed, Option, OptionalChoice, Part, Slot
from cavata.transforms.table import COMBINATIONS, TRANSFORMS, Transform


@dataclass(frozen=True, slots=True)
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
    for transform in TRANSFORMS.get(word, ()):
        found = _expression(transform).fullmatch(" ".join(text.split()))
        if found:
            return ReadStep(transform.pattern, tuple(group or "" for group in found.groups()))
    return None


@cache
def _expression(transform: Transform) -> re.Pattern[str]:
    return re.compile(transform.word + "".join(map(_part, transform.parts)))


def _part(part: Part) -> str:
    match part:
        case Slot():
            return r" (.+?)"
        case Fixed(word):
            return f" {word}"
        case Choice(words):
            return f" ({'|'.join(words)})"
        case Option(word):
            return f"(?: ({word}))?"
        case OptionalChoice(words):
            return f"(?: ({'|'.join(words)}))?"
