"""Combinations of values that have been computed: each argument to the parameter that the table's row names for it.

In: a bound combination, and what its values and clauses have turned out to be. Out: a line or a texture. What does not
fit is `Misplaced`, with the place of the argument at fault, or a refusal of the arithmetic for the whole.
"""

from __future__ import annotations

from cavata.evaluate.plan import ArgumentValue, sort_of
from cavata.music.event import Bars, Event, Head, Motif, Origin, Texture
from cavata.music.lengths import QUARTER
from cavata.music.pitch import Pitch
from cavata.names import program as p
from cavata.source import Span
from cavata.transforms.combinations import Misfit
from cavata.transforms.signature import ArgumentKind
from cavata.transforms.table import Operands


class Misplaced(Exception):
    """What cannot be used: a message with its place."""

    def __init__(self, code: str, span: Span, message: str, label: str = "", cure: str = "") -> None:
        super().__init__(message)
        self.code = code
        self.span = span
        self.message = message
        self.label = label
        self.cure = cure


def combined(
    combine: p.Combine, values: tuple[ArgumentValue, ...], clauses: tuple[tuple[object, ...], ...], has_meter: bool
) -> Motif | Texture:
    """The value of a combination; `has_meter` where it stands in a score line, so that bars can be counted."""
    row = combine.combination
    given: dict[str, object] = dict.fromkeys(combine.options, True)
    places: dict[str, Span] = {}
    waiting = [(value, operand.span) for value, operand in zip(values, combine.operands, strict=True)]
    for parameter, takes in row.operands.items():
        if takes in (Operands.LINES, Operands.VALUES):
            given[parameter] = tuple(_operand(combine, parameter, takes, *argument) for argument in waiting)
        elif waiting:
            value, places[parameter] = waiting.pop(0)
            given[parameter] = _operand(combine, parameter, takes, value, places[parameter])
    for clause, arguments in zip(combine.clauses, clauses, strict=True):
        parameter = row.clauses[clause.pattern]
        places[parameter] = clause.span
        given[parameter] = _said(combine, clause, arguments, has_meter)
    try:
        result = row.apply(**given)
    except Misfit as misfit:
        place = places.get(misfit.parameter, combine.span)
        texts = (misfit.message, misfit.label, misfit.cure)
        filled = [text.replace("{word}", row.word).replace("{argument}", place.text) for text in texts]
        raise Misplaced(misfit.code, place, *filled) from None
    assert isinstance(result, Motif | Texture)
    return result


def _operand(combine: p.Combine, parameter: str, takes: Operands, value: ArgumentValue, span: Span) -> Motif | Texture:
    """A value as the parameter takes it."""
    if isinstance(value, Texture) and takes in (Operands.TEXTURE, Operands.VALUES):
        if (takes is Operands.TEXTURE and value.is_open) or value.turns:
            raise Misplaced(
                "V402", span, f"`{combine.combination.word}` cannot tell how long this texture lasts",
                "it waits for bars", "give its delay as a duration",
            )
        return value
    if isinstance(value, Pitch) and combine.combination.clauses.get(ArgumentKind.PITCH.value) == parameter:
        return _note(value, span)
    if not isinstance(value, Motif):
        raise Misplaced("V201", span, f"`{span.text}` is {sort_of(value)}", "a motif is wanted here")
    return Texture((value,)) if takes is Operands.TEXTURE else value


def _said(combine: p.Combine, clause: p.Clause, arguments: tuple[object, ...], has_meter: bool) -> object:
    """What a clause gives to its parameter."""
    if not arguments:
        return True
    value = arguments[0] if len(arguments) == 1 else arguments
    if isinstance(value, Bars) and not has_meter:
        raise Misplaced(
            "V403", clause.span, "bars are known only in a score line", "no meter here",
            f"write a duration, as `after 3/4`, or put the `{combine.combination.word}` into the score line itself",
        )
    return _note(value, clause.span) if isinstance(value, Pitch) else value


def _note(pitch: Pitch, span: Span) -> Motif:
    """A pitch in the place of a line: a line of one note."""
    return Motif((Event(QUARTER, (Head(pitch, (Origin(None, span),)),)),))
