"""What definitions and rows gave when a piece was last computed, for a compiler that stays while the piece is edited.

A value is taken again if what it is made of is the same and every definition that it asked for gave the same object;
its messages and its share of the work count as before.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any, TypeVar

from cavata.again import Again
from cavata.diagnostics import Diagnostics
from cavata.evaluate.expressions import Evaluator
from cavata.names.program import Identity
from cavata.record import record

Made = TypeVar("Made")


@record
class _Computed:
    made: Any
    asked: Mapping[Identity, object]
    work: int


class KeptValues:
    """The store of one piece, or of one version of it."""

    def __init__(self) -> None:
        self._again: Again[_Computed] = Again()

    def next_round(self) -> None:
        """The piece will be computed once more."""
        self._again.next_round()

    def of(self, key: Hashable, subject: object, evaluator: Evaluator, make: Callable[[], Made]) -> Made:
        """What an equal subject gave before, or what `make` gives now."""
        if evaluator.given_up:
            return make()
        work, outer, asked = evaluator.work, evaluator.bag, evaluator.asked

        def computed(bag: Diagnostics) -> _Computed:
            evaluator.bag, evaluator.asked = bag, {}
            try:
                return _Computed(make(), evaluator.asked, evaluator.work - work)
            finally:
                evaluator.bag, evaluator.asked = outer, asked

        found = self._again.of(key, subject, outer, computed, lambda known: evaluator.still(known.asked, known.work))
        evaluator.work = work + found.work
        result: Made = found.made
        return result
