"""The bound program as text: what each definition is, and what it uses."""

from __future__ import annotations

from pathlib import PurePath

from cavata.names.program import (
    BoundDefinition,
    CipherDefinition,
    ModeDefinition,
    NameDefinition,
    Program,
    TransformDefinition,
    ValueDefinition,
)


def program_text(program: Program) -> str:
    """Definitions in the order in which they are computed, then parts, groups and movements."""
    lines = [_definition(definition) for definition in program.definitions]
    lines += [f"part {f.name} = {f.instrument.key}, printed {f.label} ({f.abbreviation})" for f in program.forces]
    lines += [f"group {name} = {', '.join(members)}" for name, members in program.groups.items()]
    lines += [f"staff {staff.name}, printed {staff.label} ({staff.abbreviation})" for staff in program.staves]
    for movement in program.movements:
        kind = "cadenza" if movement.is_cadenza else "movement"
        sections = ", ".join(section.called or "(no sections)" for section in movement.sections)
        lines.append(f"{kind} {movement.name.text}: {sections}")
    return "\n".join(lines) + "\n"


def _definition(definition: BoundDefinition) -> str:
    name = f"{definition.identity.name}  [{PurePath(definition.identity.module).name}]"
    match definition:
        case CipherDefinition(parent=parent):
            return f"cipher {name}" + (f" = {parent.name}" if parent else "")
        case NameDefinition(cipher=cipher, tree=tree):
            return f"name {name} = {tree.letters.text!r} by {cipher.name}"
        case TransformDefinition(parameters=parameters):
            return f"transform {name}({', '.join(parameters)})"
        case ModeDefinition(mode=mode):
            return f"mode {name} = {' '.join(map(str, mode.degrees))}"
        case ValueDefinition(sort=sort, value=value):
            return f"{sort.value} {name} = {' '.join(value.span.text.split())}"
