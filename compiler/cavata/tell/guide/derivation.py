"""How a theme came from names: its value after every step.

In: the definition of a motif, and the plan. Out: steps with their values, as the evaluator computes them. A step that
only dresses notes, as with a dynamic, leaves what sounds as it was.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.expressions import Evaluator, Unknown
from cavata.evaluate.plan import Music, Plan
from cavata.music.event import Motif, Rhythm, Texture
from cavata.names import program as p
from cavata.record import dataclass


@dataclass(frozen=True, slots=True)
class Derived:
    """One step: what was done, and what there is then."""

    done: p.Bound | p.Apply | p.ApplyOwn
    """A step; or a value, which the line begins as or which is added to it."""
    begins: bool
    value: Motif | Texture
    changed: bool
    """It sounds otherwise than before the step."""


class Deriving:
    """Computes the steps of themes; one for all of a piece, so that its bounds hold for them together."""

    def __init__(self, program: p.Program, plan: Plan) -> None:
        self._evaluator = Evaluator(Diagnostics())
        self._evaluator.values = dict(plan.values)
        self._evaluator.transforms = {
            d.identity: d for d in program.definitions if isinstance(d, p.TransformDefinition)
        }  # fmt: skip

    def steps(self, definition: p.ValueDefinition) -> tuple[Derived, ...]:
        """The steps of a motif's definition, from its beginning; fewer where one cannot be had."""
        return tuple(self._steps(definition.value))

    def _steps(self, bound: p.Bound) -> Iterator[Derived]:
        chain = bound if isinstance(bound, p.BoundChain) else p.BoundChain(bound, (), bound.span)
        before: tuple[object, ...] | None = None
        for count in range(len(chain.links) + 1):
            value = self._music(p.BoundChain(chain.first, chain.links[:count], chain.span))
            if not isinstance(value, Motif | Texture):
                return
            sounds = _sounding(value)
            done = chain.links[count - 1] if count else chain.first
            yield Derived(done, count == 0, value, sounds != before)
            before = sounds

    def _music(self, chain: p.BoundChain) -> Music | None:
        try:
            return self._evaluator.music(chain)
        except Unknown:
            return None


def _sounding(value: Motif | Texture) -> tuple[object, ...]:
    """What is heard: pitches and lengths, without dress and memory."""
    lines = value.lines if isinstance(value, Texture) else (value,)
    return tuple((event.duration, tuple(head.pitch for head in event.heads)) for line in lines for event in line.events)


def lines_of(value: Motif | Texture | Rhythm) -> tuple[Motif, ...]:
    """The lines of a value that has pitches."""
    match value:
        case Motif():
            return (value,)
        case Texture(lines):
            return lines
        case Rhythm():
            return ()
