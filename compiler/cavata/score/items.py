"""What stands behind each item of a score line: the themes that it names, and how long one turn of it lasts.

In: the bound program and the plan. Out: facts by movement, section and the item's place in the script. In a passage a
parameter means what it was placed with; an item placed several times in one section has the themes of all of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from cavata.evaluate.plan import Plan, PlannedItem
from cavata.music.event import Motif
from cavata.names import program as p
from cavata.record import record
from cavata.source import Span

ItemKey = tuple[int, int, Span]
"""The number of the movement, of its section, and the item."""
Themes = tuple[p.Identity, ...]


@record
class Turn:
    """One turn of a line that an item may repeat."""

    duration: Fraction
    lead: Fraction
    """The rest before its first note."""


def turns(plan: Plan) -> Mapping[ItemKey, Turn]:
    """The turn of each item that is a single line, and always the same one."""
    found: dict[ItemKey, Turn | None] = {}
    for number, movement in enumerate(plan.movements):
        for place, section in enumerate(movement.sections):
            for line in section.lines:
                for item in line.items:
                    if isinstance(item, PlannedItem):
                        key, turn = (number, place, item.span), _turn(item)
                        found[key] = turn if found.get(key, turn) == turn else None
    return {key: turn for key, turn in found.items() if turn is not None}


def _turn(item: PlannedItem) -> Turn | None:
    value = item.value
    if not isinstance(value, Motif) or not value.duration:
        return None
    lead = Fraction(0)
    for event in value.events:
        if event.heads:
            return Turn(value.duration, lead)
        lead += event.duration
    return None


# ------------------------------------------------------------------ themes


def themes_of_items(program: p.Program) -> Mapping[ItemKey, Themes]:
    """The motifs that each item names itself, in their order."""
    motifs = frozenset(
        d.identity for d in program.definitions if isinstance(d, p.ValueDefinition) and d.sort is p.Sort.MOTIF
    )
    found: dict[ItemKey, Themes] = {}
    for number, movement in enumerate(program.movements):
        for place, section in enumerate(movement.sections):
            for item, parameters in _items(section.lines, ()):
                themes = tuple(i for i in references(item.value, parameters) if i in motifs)
                key = (number, place, item.span)
                found[key] = tuple(dict.fromkeys((*found.get(key, ()), *themes)))
    return found


def _items(
    rows: tuple[p.BoundRow, ...], parameters: tuple[Themes, ...]
) -> Iterator[tuple[p.BoundItem, tuple[Themes, ...]]]:
    """The items of rows, and of the passages in them, each with what parameters mean there."""
    for row in rows:
        match row:
            case p.BoundLine():
                yield from ((item, parameters) for item in row.items if isinstance(item, p.BoundItem))
            case p.BoundPlaced():
                given = tuple(
                    () if isinstance(argument, p.Given) else references(argument, parameters)
                    for argument in row.arguments
                )
                yield from _items(row.rows, given)
            case p.BoundMarking():
                pass


def references(value: p.Bound, parameters: tuple[Themes, ...] = ()) -> Themes:
    """Every definition that an expression names, each once, from left to right; `parameters` mean these."""
    return tuple(dict.fromkeys(_references(value, parameters)))


def _references(value: p.Bound, parameters: tuple[Themes, ...]) -> Iterator[p.Identity]:
    match value:
        case p.Reference(to=identity):
            yield identity
        case p.Parameter(index=index):
            yield from parameters[index] if index < len(parameters) else ()
        case p.Combine():
            for operand in value.operands:
                yield from _references(operand, parameters)
            for clause in value.clauses:
                yield from _of_arguments(clause.arguments, parameters)
        case p.CallOwn():
            yield from _of_arguments(value.arguments, parameters)
        case p.BoundChain():
            yield from _references(value.first, parameters)
            for link in value.links:
                if isinstance(link, p.Apply | p.ApplyOwn):
                    yield from _of_arguments(link.arguments, parameters)
                else:
                    yield from _references(link, parameters)
        case _:
            pass


def _of_arguments(
    arguments: tuple[p.BoundArgument | p.Bound, ...], parameters: tuple[Themes, ...]
) -> Iterator[p.Identity]:
    for argument in arguments:
        if isinstance(argument, p.Taken):
            yield from _references(argument.value, parameters)
        elif not isinstance(argument, p.Given):
            yield from _references(argument, parameters)
