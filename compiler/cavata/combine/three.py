"""Where three lines go together: the best placements of two followers over one leader, judged against each other.

In: a leader, two followers, limits and rules. Out: triples in order: fewest breaches of all three pairs; then longest
together; then most imperfect consonances; then the order of the search. It looks at the best placements of each
follower under the leader, not at all of them: a triple whose pairs are poor is not found.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from cavata.combine.combine import FORMS, Bounds, Breach, Placement, combine
from cavata.music.event import Motif
from cavata.transforms.canons import delayed

EACH = 30
"""How many placements of each follower are tried with those of the other."""


@dataclass(frozen=True, slots=True)
class Triple:
    """Two followers, each at its place."""

    first: Placement
    second: Placement
    breaches: tuple[tuple[str, Breach], ...]
    """With the pair of lines, as `A with C`."""
    together: Fraction
    """For how long pairs of them sound, all three pairs added up."""
    imperfect: int


@dataclass(frozen=True, slots=True)
class CombinedThree:
    """What was looked at, and the best."""

    placements: int
    """Of each follower under the leader."""
    triples: int
    clean: int
    best: tuple[Triple, ...]


def combine_three(
    lines: tuple[Motif, Motif, Motif],
    bounds: Bounds,
    most: int,
    told: Callable[[int], None] | None = None,
    each: int = EACH,
) -> CombinedThree:
    """Try the best placements of both followers together; `told` is called with how many triples have been judged."""
    leader, one, other = lines
    firsts, seconds = combine(leader, one, bounds, each), combine(leader, other, bounds, each)
    found: list[Triple] = []
    for number, (first, second) in enumerate(product(firsts.best, seconds.best)):
        if told is not None and not number % each:
            told(number)
        between = against(first, second, bounds)
        if between is None:
            continue
        pairs = (("A with B", first), ("A with C", second), ("B with C", between))
        found.append(
            Triple(
                first, second,
                tuple((pair, breach) for pair, placed in pairs for breach in placed.breaches),
                sum((placed.together for _, placed in pairs), Fraction(0)),
                sum(placed.imperfect for _, placed in pairs),
            )
        )  # fmt: skip
    # Sorting keeps the order of equals, which is that of the search.
    found.sort(key=lambda triple: (len(triple.breaches), -triple.together, -triple.imperfect))
    clean = sum(not triple.breaches for triple in found)
    return CombinedThree(firsts.placements + seconds.placements, len(found), clean, tuple(found[:most]))


def against(first: Placement, second: Placement, bounds: Bounds) -> Placement | None:
    """The second follower judged with the first; None where they are never together.

    Places and strong beats are counted from where the leader begins.
    """
    whole = delayed(first.line, first.delay)
    only = Bounds(second.delay, second.delay or Fraction(1), 0, FORMS[:1], bounds.strong, bounds.rules)
    judged = combine(whole, second.line, only, 2, least=Fraction(0))
    return next((placed for placed in judged.best if placed.delay == second.delay), None)
