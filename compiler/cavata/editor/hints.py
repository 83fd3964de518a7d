"""Small notes between the words of a script: what a name gives, how long a motif is, which bars a section has."""

from __future__ import annotations

from collections.abc import Iterator

from cavata.editor.hover import measured
from cavata.editor.page import ScriptPage
from cavata.evaluate.plan import Value
from cavata.music.event import Motif
from cavata.names.program import Identity
from cavata.score.score import Movement
from cavata.score.whereabouts import in_bars
from cavata.syntax import tree as t

MOST_NOTES = 12
"""Notes of a name that a hint shows."""


def hints(page: ScriptPage) -> Iterator[tuple[int, str]]:
    """Where a hint stands, and its text."""
    plan = page.compiled.plan
    for declaration in page.module.declarations:
        match declaration:
            case t.Name() | t.Definition() if plan is not None:
                value = plan.values.get(Identity(page.key, declaration.name.text))
                if value is not None:
                    yield declaration.name.span.end, _told(value, isinstance(declaration, t.Name))
            case t.Movement():
                yield from _bars(page, declaration)
            case _:
                pass


def _told(value: Value, is_name: bool) -> str:
    if not is_name or not isinstance(value, Motif):
        return f": {measured(value)}"
    notes = ["/".join(str(head.pitch.pitch_class) for head in event.heads) or "rest" for event in value.events]
    return ": " + " ".join(notes[:MOST_NOTES]) + (" ..." if len(notes) > MOST_NOTES else "")


def _bars(page: ScriptPage, tree: t.ParsedMovement) -> Iterator[tuple[int, str]]:
    """The bars of each section, as they are numbered on the page."""
    score = page.compiled.score
    movement = None if score is None else next((m for m in score.movements if m.name == tree.name.text), None)
    if movement is None:
        return
    for number, section in enumerate(tree.sections):
        if section.name is not None and number < len(movement.sections):
            text = in_bars(_numbers(movement, number))
            if text:
                yield section.name.span.end, text


def _numbers(movement: Movement, section: int) -> list[int]:
    return sorted({bar.number for bar in movement.bars if bar.section == section and bar.meter is not None})
