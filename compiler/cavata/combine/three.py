"""Where three lines go together: the best placements of two followers over one leader, judged against each other.

In: a leader, two followers, limits and rules. Out: triples in order: fewest faults of all three pairs; then longest
together; then most imperfect consonances; then the order of the search; and their table, document and lines of script.
It looks at the best placements of each follower under the leader, not at all of them: a triple whose pairs are poor is
not found. What one line breaks alone is counted once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product
from typing import Any

from cavata.combine.combine import combine
from cavata.combine.placement import FORMS, Bounds, FollowerPlacement, PlacementFault
from cavata.combine.shown import entry, fault_json, placement_json, written_line
from cavata.combine.telling import fault_text, few_text, follower_form, interval_text
from cavata.music.event import Motif
from cavata.study.sheet import sheet_head, sheet_stretch
from cavata.text import fraction_text, text_table
from cavata.transforms.combinations import delayed

EACH = 30
"""How many placements of each follower are tried with those of the other."""


@dataclass(frozen=True, slots=True)
class Triple:
    """Two followers, each at its place."""

    first: FollowerPlacement
    second: FollowerPlacement
    faults: tuple[tuple[str, PlacementFault], ...]
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
    varied: bool = False,
) -> CombinedThree:
    """Try the best placements of both followers together; `told` is called with how many triples have been judged.

    Where they are to be `varied`, any two differ in the form or the delay of a follower.
    """
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
                tuple((pair, fault) for pair, placed in pairs for fault in _counted(pair, placed)),
                sum((placed.together for _, placed in pairs), Fraction(0)),
                sum(placed.imperfect for _, placed in pairs),
            )
        )  # fmt: skip
    # Sorting keeps the order of equals, which is that of the search.
    found.sort(key=lambda triple: (len(triple.faults), -triple.together, -triple.imperfect))
    clean, triples = sum(not triple.faults for triple in found), len(found)
    if varied:
        kinds: dict[tuple[object, ...], Triple] = {}
        for triple in found:
            kinds.setdefault(_kind(triple), triple)
        found = list(kinds.values())
    return CombinedThree(firsts.placements + seconds.placements, triples, clean, tuple(found[:most]))


def _counted(pair: str, placed: FollowerPlacement) -> Iterator[PlacementFault]:
    """The faults of a pair without those of one line that another pair tells: A alone with B, B and C with A."""
    for fault in placed.faults:
        voices = {note.voice for note in fault.notes}
        if len(voices) != 1 or pair == "A with B" or (pair == "A with C" and voices == {1}):
            yield fault


def _kind(triple: Triple) -> tuple[object, ...]:
    """Form and delay of both followers."""
    placed = (triple.first, triple.second)
    return tuple((p.answer.retrograde, p.answer.inverted, p.answer.slower, p.delay) for p in placed)


def against(first: FollowerPlacement, second: FollowerPlacement, bounds: Bounds) -> FollowerPlacement | None:
    """The second follower judged with the first; None where they are never together.

    Places and strong beats are counted from where the leader begins.
    """
    whole = delayed(first.line, first.delay)
    only = replace(
        bounds, longest_delay=second.delay, delay_grid=second.delay or Fraction(1), reach=0, forms=FORMS[:1],
        canon=False, mode=None,
    )  # fmt: skip
    judged = combine(whole, second.line, only, 2, least=Fraction(0))
    return next((placed for placed in judged.best if placed.delay == second.delay), None)


@dataclass(frozen=True, slots=True)
class Trio:
    """Three lines of a piece and what was found of them."""

    names: tuple[str, str, str]
    lines: tuple[Motif, Motif, Motif]
    """As the piece has them."""
    rules: str
    bar: Fraction
    found: CombinedThree


def trio_row(trio: Trio, rank: int, word: str) -> str:
    """The line of script of a triple."""
    triple = trio.found.best[rank - 1]
    second = entry(trio.names[1], triple.first, trio.lines[1])
    third = entry(trio.names[2], triple.second, trio.lines[2])
    return f"motif {word or 'three'}_{rank} = together({trio.names[0]}, {second}, {third})"


def trio_text(trio: Trio, word: str) -> str:
    """Everything."""
    names, found = trio.names, trio.found
    table = text_table(
        ("", "faults", f"{names[1]} (B)", f"{names[2]} (C)", "ranked by"),
        [
            (str(rank), str(len(t.faults)), placed_text(t.first), placed_text(t.second), triple_reason(t, trio.bar))
            for rank, t in enumerate(found.best, start=1)
        ],
        frozenset({0, 1}),
    )
    rows = "".join(f"    {trio_row(trio, rank, word)}\n" for rank in range(1, len(found.best) + 1))
    return (
        f"{names[0]} (A) with {names[1]} (B) and {names[2]} (C), {trio.rules}: {found.placements} placements under A, "
        f"the {EACH} best of each follower together: {found.clean} of {found.triples} without a fault\n\n"
        f"{table}\nTO PASTE (one of these)\n\n{rows}"
    )


def placed_text(placement: FollowerPlacement) -> str:
    """`P5 below after 1/2, in inversion`."""
    return f"{interval_text(placement.answer.interval)} after {placement.delay}, {follower_form(placement.answer)}"


def triple_reason(triple: Triple, bar: Fraction) -> str:
    """Why a triple stands where it does."""
    broken = few_text([_fault_text(pair, fault, bar) for pair, fault in triple.faults]) or "no fault"
    return f"{broken}; pairs together for {triple.together}, {triple.imperfect} imperfect consonances"


def _fault_text(pair: str, fault: PlacementFault, bar: Fraction) -> str:
    told = fault_text(fault, bar, pair.split(" with "))
    return f"{pair}: {told}" if not fault.notes else told


def trio_json(trio: Trio, word: str) -> dict[str, Any]:
    """The document."""
    return {
        "lines": list(trio.names),
        "rules": trio.rules,
        "placements": trio.found.placements,
        "triples": trio.found.triples,
        "clean": trio.found.clean,
        "candidates": [
            {
                "rank": rank,
                "followers": [placement_json(triple.first), placement_json(triple.second)],
                "together": str(triple.together),
                "imperfect": triple.imperfect,
                "faults": [
                    {"lines": pair, **fault_json(b, trio.bar, pair.split(" with "))} for pair, b in triple.faults
                ],
                "reason": triple_reason(triple, trio.bar),
                "script": [trio_row(trio, rank, word)],
            }
            for rank, triple in enumerate(trio.found.best, start=1)
        ],
    }


def trio_script(trio: Trio) -> str:
    """The sheet as a script; cellos, since they read three clefs."""
    rows = sheet_head(", ".join(trio.names), f"{trio.rules}: where they go together")
    rows += written_line("leader", trio.lines[0])
    for index, triple in enumerate(trio.found.best):
        rows += [*written_line(f"first{index}", triple.first.line), *written_line(f"second{index}", triple.second.line)]
    rows += ["", "forces", *(f"    line{n} = cello" for n in range(3))]
    for index, triple in enumerate(trio.found.best):
        rows += sheet_stretch(index, f"{index + 1}. {trio.rules}", triple_reason(triple, trio.bar))
        rows.append("        line0: leader")
        for number, (word, placed) in enumerate((("first", triple.first), ("second", triple.second)), start=1):
            wait = f"{fraction_text(placed.delay)} rest, " if placed.delay else ""
            rows.append(f"        line{number}: {wait}{word}{index}")
    return "\n".join(rows) + "\n"
