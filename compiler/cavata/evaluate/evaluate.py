"""The evaluating pass: every definition and every item of a score line becomes a value.

In: the bound program. Out: a `Plan`. Holds after: all values are concrete and within bounds; passages are opened, each
of their rows knowing where they were placed; a row in which a value could not be had was reported, and is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from cavata.ciphers.cipher import Cipher
from cavata.diagnostics import Diagnostics
from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.kept import KeptValues
from cavata.evaluate.letters import cipher_value, name_value
from cavata.evaluate.plan import (
    WITH_VALUES,
    ArgumentValue,
    Music,
    Plan,
    PlannedLine,
    PlannedMarking,
    PlannedRow,
    PlannedThrough,
    Value,
    sort_of,
)
from cavata.music.event import Figure, Rhythm
from cavata.names import program as p
from cavata.syntax import tree as t


def evaluate(program: p.Program, bag: Diagnostics, kept: KeptValues | None = None) -> Plan:
    """Compute the whole piece; what is `kept` from the time before is not computed again."""
    evaluator = Evaluator(bag)
    for definition in program.definitions:
        make = partial(_definition, definition, evaluator)
        value = make() if kept is None else kept.of(definition.identity, definition, evaluator, make)
        if isinstance(value, p.TransformDefinition):
            evaluator.transforms[definition.identity] = value
        elif value is not None:
            evaluator.values[definition.identity] = value
    evaluator.has_meter = True
    movements = tuple(
        movement.having(
            movement.settings,
            tuple(section.having(tuple(_planned(section.rows, evaluator, kept))) for section in movement.sections),
        )
        for movement in program.movements
    )
    return Plan(program, evaluator.values, movements)


def _planned(rows: Iterable[p.BoundRow], evaluator: Evaluator, kept: KeptValues | None) -> Iterator[PlannedRow]:
    """The rows of a section with their values."""
    if kept is None:
        yield from planned_rows(rows, evaluator)
        return
    for row in rows:
        if isinstance(row, (*WITH_VALUES, p.Placed)):
            yield from kept.of(row.span, row, evaluator, partial(_planned_row, row, evaluator))
        else:
            yield from planned_rows((row,), evaluator)


def _planned_row(row: p.BoundRow, evaluator: Evaluator) -> tuple[PlannedRow, ...]:
    return tuple(planned_rows((row,), evaluator))


def _definition(definition: p.BoundDefinition, evaluator: Evaluator) -> Value | p.TransformDefinition | None:
    match definition:
        case p.CipherDefinition(parent=parent, tree=tree):
            above = evaluator.known(parent) if parent else None
            if parent is not None and not isinstance(above, Cipher):
                return None
            return cipher_value(tree, above if isinstance(above, Cipher) else None, evaluator.bag)
        case p.NameDefinition(cipher=identity, tree=tree):
            cipher = evaluator.known(identity)
            return name_value(tree, cipher, evaluator.bag) if isinstance(cipher, Cipher) else None
        case p.TransformDefinition():
            return definition
        case p.ModeDefinition():
            return None  # a constant wherever it stands
        case p.ValueDefinition():
            return _value(definition, evaluator)


def _value(definition: p.ValueDefinition, evaluator: Evaluator) -> Value | None:
    try:
        if definition.sort is p.DefinitionSort.FIGURE:
            return _figure(definition, evaluator)
        value = evaluator.music(definition.value)
        evaluator.spend(value, definition.tree.name.span)
    except Unknown:
        return None
    is_rhythm = isinstance(value, Rhythm)
    if is_rhythm != (definition.sort is p.DefinitionSort.RHYTHM):
        wanted = "motif" if is_rhythm else "rhythm"
        evaluator.fail(
            "V218", definition.tree.value.span, f"`{definition.identity.name}` is {sort_of(value)}",
            f"declared as a {wanted}", f"begin the line with `{'rhythm' if is_rhythm else 'motif'}`",
        )
        return None
    return value


def _figure(definition: p.ValueDefinition, evaluator: Evaluator) -> Figure:
    value = evaluator.value(definition.value, ())
    if isinstance(value, Figure):
        return value
    raise evaluator.fail(
        "V218", definition.tree.value.span, f"`{definition.identity.name}` is {sort_of(value)}", "declared as a figure",
        "a figure names voices of a chord, as `(1/4 bass, 1/4 upper)`",
    )  # fmt: skip


# ------------------------------------------------------------------ rows


def planned_rows(
    rows: Iterable[p.BoundRow],
    evaluator: Evaluator,
    parameters: tuple[ArgumentValue, ...] = (),
    within: tuple[t.Within, ...] = (),
) -> Iterator[PlannedRow]:
    """The rows with their values, passages opened; `parameters` are the arguments of the passage they stand in."""
    for row in rows:
        evaluator.placed = within[-1].span if within else None
        match row:
            case t.Line():
                line = _line(row, evaluator, parameters, within)
                if line is not None:
                    yield line
            case t.Marking():
                marking = _marking(row, evaluator, parameters, within)
                if marking is not None:
                    yield marking
            case t.Doubling():
                try:
                    steps = tuple(evaluator.given(step, parameters) for step in row.steps)
                except Unknown:
                    continue
                yield row.taking(row.parts, row.model, steps)
            case p.Placed(place, arguments, inner, span):
                evaluator.placed = None
                try:
                    values = tuple(evaluator.argument(argument, parameters) for argument in arguments)
                except Unknown:
                    continue
                yield from planned_rows(inner, evaluator, values, (*within, t.Within(place, span)))
            case t.Through():
                yield from _through(row, evaluator)
            case t.Excerpt():
                yield row.having(tuple(planned_rows(row.section.rows, evaluator)))
            case _:
                yield row


def _marking(
    row: p.BoundMarking, evaluator: Evaluator, parameters: tuple[ArgumentValue, ...], within: tuple[t.Within, ...]
) -> PlannedMarking | None:
    try:
        step = evaluator.given(row.step, parameters)
    except Unknown:
        return None
    return row.taking(row.parts, step, within)


def _through(row: p.BoundThrough, evaluator: Evaluator) -> Iterator[PlannedThrough]:
    """What a heading says, with its values; nothing when one could not be had."""
    try:
        steps = tuple(evaluator.given(step, ()) for step in row.steps)
    except Unknown:
        return
    yield t.Through(row.parts, steps, row.span)


def _line(
    line: p.BoundLine, evaluator: Evaluator, parameters: tuple[ArgumentValue, ...], within: tuple[t.Within, ...]
) -> PlannedLine | None:
    items: list[t.Item[Music] | t.RestItem | t.RestTo] = []
    complete = True
    for item in line.items:
        if not isinstance(item, t.Item):
            items.append(item)
            continue
        try:
            items.append(item.holding(evaluator.music(item.value, parameters)))
        except Unknown:
            complete = False
    return line.playing(line.parts, tuple(items), line.tacet, within) if complete else None
