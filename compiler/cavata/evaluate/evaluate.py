"""The evaluating pass: every definition and every item of a score line becomes a value.

In: the bound program. Out: a `Plan`. Holds after: all values are concrete and within bounds; an item
whose value could not be had was reported, and its line is left out.
"""

from __future__ import annotations

from cavata.ciphers.cipher import Cipher
from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.letters import cipher_value, name_value
from cavata.evaluate.plan import Plan, PlannedLine, PlannedMarking, PlannedMovement, PlannedSection, Value
from cavata.evaluate.rows import planned_rows
from cavata.evaluate.sorts import sort_of
from cavata.music.event import Rhythm
from cavata.names import program as p


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
