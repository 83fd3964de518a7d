"""The evaluating pass: every definition and every item of a score line becomes a value.

In: the bound program. Out: a `Plan`. Holds after: all values are concrete and within bounds; an item
whose value could not be had was reported, and its line is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from cavata.ciphers.cipher import Cipher
from cavata.diagnostics import Diagnostics
from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.letters import cipher_value, name_value
from cavata.evaluate.plan import (
    Argument,
    Plan,
    PlannedItem,
    PlannedLine,
    PlannedMarking,
    PlannedMovement,
    PlannedSection,
    Value,
    Within,
    sort_of,
)
from cavata.music.event import Rhythm
from cavata.names import program as p
from cavata.syntax import tree as t

# ----------------------------------------------------------------
# The rows of a section with their values: score lines, markings, and the passages that it places.
#
# In: bound rows. Out: lines and markings in their order, passages opened, each row knowing the places that passages
# inside each other were put at. A row in which a value could not be had was reported and is left out.


def planned_rows(
    rows: Iterable[p.BoundRow],
    evaluator: Evaluator,
    parameters: tuple[Argument, ...] = (),
    within: tuple[Within, ...] = (),
) -> Iterator[PlannedLine | PlannedMarking]:
    """The lines and markings of rows; `parameters` are the arguments of the passage in which they stand."""
    for row in rows:
        evaluator.placed = within[-1].span if within else None
        match row:
            case p.BoundPlaced(place, arguments, inner, span):
                evaluator.placed = None
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


# ----------------------------------------------------------------

def evaluate(program: p.Program, bag: Diagnostics) -> Plan:
    """Compute the whole piece."""
    evaluator = Evaluator(bag)
    for definition in program.definitions:
        value = _definition(definition, evaluator, bag)
        if value is not None:
            evaluator.values[definition.identity] = value
    evaluator.has_metre = True
    movements = tuple(_movement(movement, evaluator) for movement in program.movements)
    return Plan(
        program.main, evaluator.values, program.piece, program.forces, program.groups, movements, program.staves
    )


def _definition(definition: p.Definition, evaluator: Evaluator, bag: Diagnostics) -> Value | None:
    match definition:
        case p.CipherDefinition(parent=parent, tree=tree):
            above = evaluator.values.get(parent) if parent else None
            if parent is not None and not isinstance(above, Cipher):
                return None
            return cipher_value(tree, above if isinstance(above, Cipher) else None, bag)
        case p.NameDefinition(cipher=identity, tree=tree):
            cipher = evaluator.values.get(identity)
            return name_value(tree, cipher, bag) if isinstance(cipher, Cipher) else None
        case p.TransformDefinition():
            evaluator.transforms[definition.identity] = definition
            return None
        case p.ModeDefinition():
            return None  # a constant wherever it stands
        case p.ValueDefinition():
            return _value(definition, evaluator)


def _value(definition: p.ValueDefinition, evaluator: Evaluator) -> Value | None:
    try:
        value = evaluator.music(definition.value)
        evaluator.spend(value, definition.tree.name.span)
    except Unknown:
        return None
    is_rhythm = isinstance(value, Rhythm)
    if is_rhythm != (definition.sort is p.Sort.RHYTHM):
        wanted = "motif" if is_rhythm else "rhythm"
        evaluator.fail(
            "V218", definition.tree.value.span, f"`{definition.identity.name}` is {sort_of(value)}",
            f"declared as a {wanted}", f"begin the line with `{'rhythm' if is_rhythm else 'motif'}`",
        )
        return None
    return value


def _movement(movement: p.BoundMovement, evaluator: Evaluator) -> PlannedMovement:
    sections = tuple(_section(section, evaluator) for section in movement.sections)
    return PlannedMovement(
        movement.name, movement.title, movement.is_cadenza, movement.settings, sections, movement.span
    )


def _section(section: p.BoundSection, evaluator: Evaluator) -> PlannedSection:
    rows = tuple(planned_rows(section.lines, evaluator))
    lines = tuple(row for row in rows if isinstance(row, PlannedLine))
    markings = tuple(row for row in rows if isinstance(row, PlannedMarking))
    return PlannedSection(
        section.name, section.title, section.bars, section.settings, lines, markings, section.span, section.repeats,
        section.upbeat,
    )
