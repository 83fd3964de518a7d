"""The rows of a section with their values: score lines, markings, and the passages that it places.

In: bound rows. Out: lines and markings in their order, passages opened, each row knowing the places that passages
inside each other were put at. A row in which a value could not be had was reported and is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.plan import PlannedItem, PlannedLine, PlannedMarking, Within
from cavata.evaluate.sorts import Argument
from cavata.names import program as p
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t


def planned_rows(
    rows: Iterable[p.BoundRow],
    evaluator: Evaluator,
    parameters: tuple[Argument, ...] = (),
    within: tuple[Within, ...] = (),
) -> Iterator[PlannedLine | PlannedMarking]:
    """The lines and markings of rows; `parameters` are the arguments of the passage in which they stand."""
    for row in rows:
        errors = len(evaluator.bag.collected)
        match row:
            case p.BoundPlaced(place, arguments, inner, span):
                try:
                    values = tuple(evaluator.argument(argument, parameters) for argument in arguments)
                except Unknown:
                    continue
                yield from planned_rows(inner, evaluator, values, (*within, Within(place, span)))
                continue
            case p.BoundLine():
                planned: PlannedLine | PlannedMarking | None = _line(row, evaluator, parameters, within)
            case p.BoundMarking():
                planned = _marking(row, evaluator, parameters, within)
        if planned is not None:
            yield planned
        elif within:
            _placed_here(evaluator, errors, within[-1].span)


def _placed_here(evaluator: Evaluator, errors: int, span: Span) -> None:
    """Show beside what was just reported where the passage was placed."""
    bag = evaluator.bag
    if len(bag.collected) > errors and not bag.overflowed:
        last = bag.collected[-1]
        bag.collected[-1] = replace(last, also=(*last.also, (span, "placed here")))


def _marking(
    row: p.BoundMarking, evaluator: Evaluator, parameters: tuple[Argument, ...], within: tuple[Within, ...]
) -> PlannedMarking | None:
    transform = row.step.transform
    try:
        arguments = tuple(evaluator.taken(a, parameters, transform.word) for a in row.step.arguments)
    except Unknown:
        return None
    return PlannedMarking(row.parts, row.first, row.last, transform, arguments, row.span, within)


def _line(
    line: p.BoundLine, evaluator: Evaluator, parameters: tuple[Argument, ...], within: tuple[Within, ...]
) -> PlannedLine | None:
    items: list[PlannedItem | t.RestItem | t.RestTo] = []
    complete = True
    for item in line.items:
        if not isinstance(item, p.BoundItem):
            items.append(item)
            continue
        try:
            value = evaluator.music(item.value, parameters)
        except Unknown:
            complete = False
            continue
        items.append(PlannedItem(value, item.repeat, item.over, item.span))
    if not complete:
        return None
    return PlannedLine(line.parts, line.place, tuple(items), line.span, line.replaces, line.tacet, within)
