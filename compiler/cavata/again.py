"""What a pass made last time, for when it is asked for the same again.

In: a key, what something is to be made of, and how. Out: what was made of an equal thing under that key the last time,
with the messages that came of it, else what is made now. For compilers that stay while a script is edited; what was not
asked for in a whole round is forgotten.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from typing import Any, Generic, TypeVar

from cavata.diagnostics import Diagnostic, Diagnostics

Made = TypeVar("Made")


class Itself:
    """Some things, which are the same as others only if each is the very same object."""

    def __init__(self, things: Iterable[object]) -> None:
        self._things = tuple(things)
        """Held, so that nothing else gets the number of one of these."""
        self._numbers = tuple(map(id, self._things))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Itself) and self._numbers == other._numbers

    def __hash__(self) -> int:
        return hash(self._numbers)


class Again(Generic[Made]):
    """A store of what was made, for one thing that a pass makes."""

    def __init__(self) -> None:
        self._before: dict[Hashable, tuple[Any, Made, tuple[Diagnostic, ...]]] = {}
        self._now: dict[Hashable, tuple[Any, Made, tuple[Diagnostic, ...]]] = {}
        self._turns: Counter[Hashable] = Counter()

    def next_round(self) -> None:
        """Everything will be asked for once more."""
        self._before, self._now = self._now, {}
        self._turns.clear()

    def of(
        self, key: Hashable, subject: object, bag: Diagnostics, make: Callable[[Diagnostics], Made],
        holds: Callable[[Made], bool] = lambda made: True,
    ) -> Made:
        """What was made of an equal subject, if it still holds; else what is made of it now.

        What is asked for several times in a round under one key is told apart by its turn.
        """
        self._turns[key] += 1
        key = key, self._turns[key]
        found = self._before.get(key)
        if found is None or found[0] != subject or not holds(found[1]):
            with bag.within() as own:
                made = make(own)
            found = (subject, made, tuple(own.collected))
        else:
            bag.report_all(found[2])
        self._now[key] = found
        return found[1]
