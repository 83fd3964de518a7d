"""What one save gave: its texts, its messages, and, if nothing was wrong, a score with its copies.

Holds after: whatever is costly is made when it is first asked for, once, whichever thread asks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from threading import RLock
from types import MappingProxyType
from typing import TYPE_CHECKING

from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.record import record

if TYPE_CHECKING:  # passes are loaded while a page is opened, and notation when one asks for it
    from cavata.edition.short_score import KeptReductions
    from cavata.notate.notate import KeptNotation
    from cavata.notate.written import WrittenScore
    from cavata.pipeline import Compiled
    from cavata.score.score import Score, ScoreEvent

SCORE, SHORT, PART = "score", "short", "part:"
"""What the copies of a state are called: the full score, the short score, and a part by its name after the colon."""


@record
class Mark:
    """Where a note of the full score stands."""

    id: str
    movement: str
    bar: int
    """The number that is printed at it."""
    event: ScoreEvent


class KeptCopies:
    """What was written of each copy, from which the next state takes what is the same in it."""

    def __init__(self) -> None:
        self._kept: dict[str, KeptNotation] = {}
        self._reductions: KeptReductions | None = None
        self._lock = RLock()

    def written(self, copy: str, score: Score) -> WrittenScore:
        """A copy of a score on the page."""
        from cavata.edition.short_score import KeptReductions
        from cavata.notate.notate import KeptNotation, notate

        with self._lock:
            self._reductions = self._reductions or KeptReductions()
            made = copy_of(copy, score, self._reductions)
            return notate(made, self._kept.setdefault(copy, KeptNotation()))


class State:
    """One state of the piece."""

    def __init__(
        self, number: int, texts: Mapping[str, str], compiled: Compiled, kept: KeptCopies | None = None
    ) -> None:
        self.number = number
        """Counted from 1, save by save; below 0 if it is only tried."""
        self.texts = MappingProxyType(dict(texts))
        """The texts of its own files, by their paths."""
        self.compiled = compiled
        self._copies: dict[str, WrittenScore] = {}
        self._kept = kept or KeptCopies()
        self._lock = RLock()

    @property
    def score(self) -> Score | None:
        """What will be heard; None while something is wrong."""
        return self.compiled.score

    @property
    def is_good(self) -> bool:
        """Whether there is a score."""
        return self.compiled.score is not None and bool(self.compiled.score.movements)

    @property
    def messages(self) -> tuple[Diagnostic, ...]:
        """What the compiler said."""
        return self.compiled.bag.ordered()

    def copies(self) -> tuple[str, ...]:
        """What it can be read as: the full score, the short score, and each part that has a note."""
        score = self.score
        if score is None:
            return ()
        from cavata.edition.copies import players_of
        from cavata.edition.parts import has_notes

        parts = tuple(
            f"{PART}{name}" for name, (whole, places, _) in players_of(score).items()
            if any(has_notes(whole, place) for place in places)
        )  # fmt: skip
        return (SCORE, *((SHORT,) if len(score.parts) > 1 else ()), *parts)

    def written(self, copy: str = SCORE) -> WrittenScore:
        """A copy on the page. Raises KeyError if there is no such copy."""
        with self._lock:
            known = self._copies.get(copy)
            if known is None:
                known = self._copies[copy] = self._written(copy)
            return known

    def _written(self, copy: str) -> WrittenScore:
        if self.score is None or copy not in self.copies():
            raise KeyError(copy)
        return self._kept.written(copy, self.score)

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        """Every note of the full score with its id, in the order of the page; of a tied one each that is written."""
        with self._lock:
            return tuple(_marks(self.written()))


def copy_of(copy: str, score: Score, kept: KeptReductions | None = None) -> Score:
    """One of `State.copies`, not yet notated."""
    from cavata.edition.copies import Wanted, copies

    parts = (copy.removeprefix(PART),) if copy.startswith(PART) else ()
    wanted = Wanted(score=copy == SCORE, short=copy == SHORT, parts=parts)
    return next(copies(score, wanted, Diagnostics(), kept)).score


def _marks(score: WrittenScore) -> Iterator[Mark]:
    from cavata.musicxml.ids import bar_of, identified_notes

    for movement in score.movements:
        for place, identifier, event in identified_notes(movement):
            yield Mark(identifier, movement.name, movement.frames[bar_of(place) - 1].number, event)
