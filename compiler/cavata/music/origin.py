"""Where a note came from: the letter of a name, what was done to it, and the place that wrote it."""

from __future__ import annotations

from cavata.record import dataclass, replace
from cavata.source import Span


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter, or letters read as one, of one name under one cipher."""

    name: str
    """The name's identifier in the script, as `tamsin`."""
    text: str
    """The letter or letters as written, as `T` or `SCH`."""
    position: int
    """Which letter of the written name it is, counted from 1; spaces and hyphens do not count."""
    cipher: str
    """The cipher's identifier."""


@dataclass(frozen=True, slots=True)
class Origin:
    """What one sounding note remembers."""

    letter: Letter | None
    """None for a note that no name gave."""
    span: Span
    """The place in the script that made the note: its name, its `notes(...)`, its rhythm."""
    inflection: str = ""
    """What the composer did to the letter's pitch, as `sharp` or `sharp, respelled`; empty if nothing."""
    steps: tuple[str, ...] = ()
    """The transforms the note went through, in order, as they stand in the script."""

    def through(self, *steps: str) -> Origin:
        """The same origin after further transforms."""
        return Origin(self.letter, self.span, self.inflection, self.steps + steps)

    def inflected(self, how: str) -> Origin:
        """The same origin after the composer changed the note's pitch."""
        if self.inflection.split(", ")[-1] == how:
            return self
        return replace(self, inflection=f"{self.inflection}, {how}" if self.inflection else how)
