"""Reading the atoms after a word from left to right.

In: atoms of the syntax tree. Out: whoever reads takes one after another; what does not fit is a `Mismatch` that knows
how far the reading came.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from cavata.instruments.instrument import Instrument
from cavata.music.mode import Mode
from cavata.names.program import Bound, Parameter
from cavata.source import Span
from cavata.syntax import tree as t

Bind = Callable[[t.Argument], Bound | None]
"""Binds an argument that is a value; it reports what it cannot bind."""
FindParameter = Callable[[t.Word], Parameter | None]
"""The parameter that a word stands for, if it does."""
FindPlayers = Callable[[t.Word], tuple[tuple[str, Instrument], ...] | None]
"""The parts that a word names, with their instruments; it reports a word that names none."""


FindMode = Callable[[t.Word], Mode | None]
"""The mode of a script that a word names, if it does; raises Reported for one that was wrong."""


class Mismatch(Exception):
    """The atoms do not fit this pattern: how far they did, where not, and what was wanted there."""

    def __init__(self, at: int, wanted: str, span: Span | None, cure: str = "") -> None:
        super().__init__(wanted)
        self.at = at
        self.wanted = wanted
        self.span = span
        self.cure = cure


class Reported(Exception):
    """A value among the arguments could not be bound, and was reported."""


def no_mode(word: t.Word) -> None:
    """Where no script's modes are known, no word names one."""


def nobody(word: t.Word) -> None:
    """Where no forces are known, no word names a part."""


@dataclass
class Reader:
    """Reads the atoms of one step from left to right."""

    atoms: tuple[t.Argument, ...]
    bind: Bind
    parameter: FindParameter
    players: FindPlayers = nobody
    mode: FindMode = no_mode
    modes: Callable[[], tuple[str, ...]] = tuple
    """The names of the script's modes."""
    at: int = 0

    def peek(self) -> t.Argument | None:
        """The next atom, if there is one."""
        return self.atoms[self.at] if self.at < len(self.atoms) else None

    def word(self) -> str:
        """The next atom's text if it is a word; else nothing."""
        atom = self.peek()
        return atom.text if isinstance(atom, t.Word) else ""

    def fail(self, wanted: str, cure: str = "") -> Mismatch:
        """What to raise when the next atom does not fit."""
        atom = self.peek()
        return Mismatch(self.at, wanted, atom.span if atom is not None else None, cure)

    def take(self) -> t.Argument:
        """The next atom, read."""
        self.at += 1
        return self.atoms[self.at - 1]
