"""Passages: blocks of score lines that sections place, with parameters for parts and for values.

In: the declarations of passages, and the rows that place them. Out: rows in which every part is known, each placed
passage with the arguments that its values take. Holds after: no passage places itself, and what they place
together is bounded.

A parameter stands for parts if a line of the passage begins with it, or if it is handed on to such a parameter of
another passage; else for a value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from cavata.diagnostics import Diagnostics
from cavata.names.bind import Binder, all_bound, by_place
from cavata.names.forces import Players
from cavata.names.program import (
    Bound,
    BoundStep,
    DefinitionSort,
    Given,
    Identity,
    Parameter,
    PartStaff,
    PassageRow,
    Placed,
)
from cavata.names.rows import NOBODY, RowBinder, StavesOfParts
from cavata.names.scopes import Scope
from cavata.names.taken_over import Steps, passage_rows
from cavata.record import record
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import so_many

MOST_PLACED = 5000
"""Lines that the passages of a piece place together."""
DEEPEST = 40
"""Passages inside each other."""

_Row = t.Line[t.PartRef, Bound] | t.Marking[t.PartRef, BoundStep]
"""A row of a passage: its values are bound, and its parts found only where the passage is placed."""


@record
class _Inner:
    """A passage that is placed by a row: its arguments that are parts by their parameters, all others bound."""

    body: Body
    parts: Mapping[str, tuple[t.PartRef, ...]]
    arguments: tuple[Given | Bound, ...]
    place: t.Place | None
    span: Span
    steps: Steps


@record
class Body:
    """A passage, bound as far as it can be before it is placed."""

    name: str
    parameters: tuple[str, ...]
    for_parts: frozenset[str]
    rows: tuple[_Row | _Inner, ...]
    span: Span
    depth: int
    """How many passages stand inside each other in it."""


class _PassageValues(Binder):
    """Binds values of a passage, and notes which of its parameters they use."""

    def __init__(self, scope: Scope, bag: Diagnostics, parameters: Mapping[str, int], players: Players) -> None:
        super().__init__(scope, bag, parameters, players)
        self.used_as_values: dict[str, Span] = {}

    def parameter(self, word: t.Word) -> Parameter | None:
        """The parameter that a word stands for."""
        found = super().parameter(word)
        if found is not None:
            self.used_as_values.setdefault(word.text, word.span)
        return found


@dataclass
class PassageBinder:
    """Binds passages when they are asked for."""

    known: Mapping[str, Scope]
    rows: RowBinder
    players: Players
    bag: Diagnostics
    bodies: dict[Identity, Body | None] = field(default_factory=dict)
    uses: dict[Identity, Span] = field(default_factory=dict)
    """What the passages refer to."""
    path: list[Identity] = field(default_factory=list)
    placed: int = 0

    # -------------------------------------------------------------- definitions

    def body(self, identity: Identity, tree: t.Passage, asked: Span) -> Body | None:
        """A passage by its identity; None when something in it was reported."""
        if identity in self.path:
            circle = [i.name for i in self.path[self.path.index(identity) :]] + [identity.name]
            self.bag.error(
                "N401", asked, f"the passage `{identity.name}` places itself",
                label="the circle is " + " -> ".join(f"`{name}`" for name in circle),
                cure="write its lines out, or repeat them in the section",
            )
            return None
        if identity not in self.bodies:
            self.path.append(identity)
            self.bodies[identity] = self.bound(identity, tree)
            self.path.pop()
        return self.bodies[identity]

    def bound(self, identity: Identity, tree: t.Passage) -> Body | None:
        """Bind a passage's rows."""
        if not self.shallow(len(self.path), tree):
            return None
        names = tuple(p.text for p in tree.parameters)
        places = by_place(tree.parameters, self.bag)
        heads = {
            ref.part.text: ref.part.span for row in tree.rows if not isinstance(row, t.Placement) for ref in row.parts
        }
        for_parts = {name: heads[name] for name in names if name in heads}
        binder = _PassageValues(self.known[identity.module], self.bag, places, self.players)
        # Rows that place other passages come first: they tell which parameters are handed on as parts.
        found: dict[int, _Row | _Inner | None] = {}
        for number, row in enumerate(tree.rows):
            if isinstance(row, t.Placement):
                found[number] = self.inner(row, binder, names, for_parts)
        for number, row in enumerate(tree.rows):
            if not isinstance(row, t.Placement):
                found[number] = self.row(row, binder, frozenset(for_parts))
        self.uses.update(binder.uses)
        for name in (n for n in for_parts if n in binder.used_as_values):
            self.bag.error(
                "N403", binder.used_as_values[name], f"`{name}` stands for a part in this passage",
                label="used as a value here",
                cure="give the passage a further parameter", also=((for_parts[name], "a part here"),),
            )
            return None
        rows: tuple[_Row | _Inner, ...] | None = all_bound(map(found.__getitem__, range(len(tree.rows))))
        depth = 1 + max((row.body.depth for row in found.values() if isinstance(row, _Inner)), default=0)
        if rows is None or not self.shallow(depth, tree):
            return None
        return Body(identity.name, names, frozenset(for_parts), rows, tree.name.span, depth)

    def shallow(self, depth: int, tree: t.Passage) -> bool:
        """Whether so many passages may stand inside each other; reported if not."""
        if depth <= DEEPEST:
            return True
        message = f"passages are nested more than {DEEPEST} deep"
        self.bag.error("N404", tree.name.span, message, cure="write some of them out")
        return False

    def row(
        self, row: t.ParsedLine | t.ParsedMarking, binder: Binder, for_parts: frozenset[str]
    ) -> _Row | None:
        """A line or marking; parts that are no parameters must be there."""
        own = tuple(ref for ref in row.parts if ref.part.text not in for_parts)
        known = not own or self.rows.part_list(own) is not None
        if isinstance(row, t.Line):
            items = self.rows.items(row, binder)
            return row.playing(row.parts, items) if items is not None and known else None
        step = self.rows.dress(row, binder)
        return row.taking(row.parts, step) if step is not None and known else None

    def inner(
        self, row: t.Placement, binder: _PassageValues, names: tuple[str, ...], for_parts: dict[str, Span]
    ) -> _Inner | None:
        """A passage placed inside another one."""
        body = self.looked_up(row, binder)
        if body is None:
            return None
        refs: dict[str, tuple[t.PartRef, ...]] = {}

        def part(parameter: str, ref: t.PartRef) -> bool:
            if ref.part.text in names:
                for_parts.setdefault(ref.part.text, ref.part.span)
            elif self.rows.members(ref, NOBODY) is None:
                return False
            refs[parameter] = (ref,)
            return True

        arguments = self.arguments(row, body, binder, part)
        # Its items know the parameters of its own passage only, not those of the one around it.
        steps = self.steps(row, Binder(binder.scope, self.bag, players=self.players))
        if arguments is None or steps is None:
            return None
        return _Inner(body, refs, arguments, place=row.place, span=row.span, steps=steps)

    def steps(self, row: t.Placement, binder: Binder) -> Steps | None:
        """What the items of a placed passage go through; None when that was reported."""
        found: Steps | None = all_bound(map(binder.step, row.steps))
        self.uses.update(binder.uses)
        return found

    # -------------------------------------------------------------- placements

    def looked_up(self, row: t.Placement, binder: Binder) -> Body | None:
        """The passage that a row names; None when that, or the passage, was reported."""
        declared = binder.look_up(row.name, DefinitionSort.PASSAGE)
        if declared is None:
            return None
        assert isinstance(declared.tree, t.Passage)
        body = self.body(declared.identity, declared.tree, row.name.span)
        if body is not None and len(row.arguments) != len(body.parameters):
            shown = f"`{body.name}({', '.join(body.parameters)})`"
            count, wanted = len(row.arguments), len(body.parameters)
            place = row.arguments[wanted].span if count > wanted else row.name.span
            self.bag.error(
                "N402", place, f"`{body.name}` takes {so_many(wanted, 'argument')}, not {count}",
                label="one too many" if count > wanted else "too few",
                cure=f"it is {shown}", also=((body.span, "defined here"),),
            )
            return None
        return body

    def arguments(
        self, row: t.Placement, body: Body, binder: Binder, part: Callable[[str, t.PartRef], bool]
    ) -> tuple[Given | Bound, ...] | None:
        """The arguments in the order of the parameters; those that are parts go to `part` and stand as empty words."""
        bound: list[Given | Bound | None] = []
        for name, argument in zip(body.parameters, row.arguments, strict=True):
            ref = _as_part(argument)
            if name in body.for_parts:
                if ref is None:
                    self.mismatch(argument.span, body, name, "a part", f"`{argument.span.text}` is none")
                bound.append(Given("", ()) if ref is not None and part(name, ref) else None)
            elif isinstance(argument, t.PartRef) or (
                ref is not None and self.is_part(ref.part.text) and binder.scope.find(ref.part.text) is None
            ):
                self.mismatch(argument.span, body, name, "a value", f"`{argument.span.text}` is a part")
                bound.append(None)
            else:
                bound.append(binder.own_argument(argument))
        return all_bound(bound)

    def is_part(self, name: str) -> bool:
        """Whether the forces have a part or group of that name."""
        return name in self.rows.parts or name in self.rows.groups

    def mismatch(self, span: Span, body: Body, parameter: str, wanted: str, label: str) -> None:
        """An argument of the wrong kind."""
        self.bag.error(
            "N403", span, f"`{parameter}` of `{body.name}` stands for {wanted}", label=label,
            also=((body.span, "defined here"),),
        )

    def place(self, row: t.Placement, binder: Binder) -> Placed | None:
        """A passage placed in a section; None when something was reported."""
        body = self.looked_up(row, binder)
        if body is None:
            self.look_at_values(row, binder)
            return None
        parts: dict[str, tuple[PartStaff, ...]] = {}

        def part(parameter: str, ref: t.PartRef) -> bool:
            members = self.rows.part_list((ref,))
            parts[parameter] = members or ()
            return members is not None

        arguments = self.arguments(row, body, binder, part)
        steps = self.steps(row, binder)
        if arguments is None or steps is None:
            self.look_at_values(row, binder)
            return None
        rows = self.opened(body, parts, row.span)
        if rows is None:
            return None
        return Placed(row.place, arguments, passage_rows(rows, steps, (), row.span), row.span)

    def look_at_values(self, row: t.Placement, binder: Binder) -> None:
        """Note which values a row speaks of that cannot be placed, so that they are not called unused besides."""
        for argument in row.arguments:
            first = argument.first if isinstance(argument, t.Chain) else None
            if isinstance(first, t.Word) and binder.scope.find(first.text) is not None:
                binder.value(first)

    def opened(self, body: Body, parts: StavesOfParts, asked: Span) -> tuple[PassageRow, ...] | None:
        """The rows of a passage with the parts that it is placed with; None when something was reported."""
        rows: list[PassageRow] = []
        for row in body.rows:
            self.placed += 1
            if self.placed > MOST_PLACED:
                if self.placed == MOST_PLACED + 1:
                    self.bag.error(
                        "N404", asked, f"passages place more than {MOST_PLACED} lines in this piece",
                        label="the compiler stops here",
                        cure="place fewer of them",
                    )
                return None
            if not isinstance(row, _Inner):
                targets = self.rows.part_list(row.parts, parts)
                if targets is None:
                    return None
                placed = row.playing(targets, row.items) if isinstance(row, t.Line) else row.taking(targets, row.step)
                rows.append(placed)
                continue
            handed = {name: self.rows.part_list(refs, parts) for name, refs in row.parts.items()}
            inner = self.opened(row.body, {name: found or () for name, found in handed.items()}, asked)
            if inner is None or None in handed.values():
                return None
            rows.append(Placed(row.place, row.arguments, passage_rows(inner, row.steps, (), row.span), row.span))
        return tuple(rows)


def passages_of(scope: Scope) -> Iterator[tuple[Identity, t.Passage]]:
    """The passages that a file defines itself."""
    for declared in scope.own.values():
        if isinstance(declared.tree, t.Passage):
            yield declared.identity, declared.tree


def _as_part(argument: t.Expression | t.Loose | t.PartRef) -> t.PartRef | None:
    """The argument if it can name a part: a word, or a part with its staff."""
    match argument:
        case t.PartRef():
            return argument
        case t.Chain(first=t.Word() as word, links=()):
            return t.PartRef(word, None, word.span)
        case _:
            return None
