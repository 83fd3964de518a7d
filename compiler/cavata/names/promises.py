"""Binding the rows of `require`: names, parts, movements and sections found.

In: the rows, and what the piece has. Out: promises that can be looked at once the piece is placed; a row in which
something was reported is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from cavata.diagnostics import Diagnostics
from cavata.names.bind import Binder, all_bound
from cavata.names.profiles import find_profile
from cavata.names.program import BoundPromise, DefinitionSort, Reference, Where
from cavata.names.rows import RowBinder
from cavata.names.versions import report_no_movement, section_meant
from cavata.syntax import tree as t

Find = Callable[[t.PartRef], Where | None]
"""Finds a place; it reports what is not there."""
WHOLE = "piece"
"""The word for everything in `length of piece`."""


class PromiseBinder:
    """Binds what a piece requires."""

    def __init__(
        self, binder: Binder, rows: RowBinder, movements: Mapping[str, t.ParsedMovement], bag: Diagnostics,
        profiles: Iterable[str],
    ) -> None:
        self.binder = binder
        self.rows = rows
        self.movements = movements
        self.bag = bag
        self.profiles = tuple(profiles)

    def bind(self, blocks: list[t.Require]) -> tuple[BoundPromise, ...]:
        """Every row of every block, in order."""
        bound = [self.promise(row) for block in blocks for row in block.rows]
        return tuple(promise for promise in bound if promise is not None)

    def promise(self, row: t.Promise) -> BoundPromise | None:
        """One row; None when something in it was reported."""
        match row:
            case t.Heard(names, movements, span):
                found, where = self.names(names), self.places(movements, self.movement)
                return None if found is None or where is None else t.Heard(found, where, span)
            case t.NeverBefore(names, place, span):
                found, at = self.names(names), self.place(place)
                return None if found is None or at is None else t.NeverBefore(found, at, span)
            case t.KeepsWithin(refs, low, high, span):
                parts = self.rows.part_list(refs)
                if low.midi > high.midi:
                    label = "the lower pitch stands first"
                    self.bag.error("N409", span, f"{low} lies above {high}", label=label, cure=f"write `{high}..{low}`")
                    return None
                return None if parts is None else t.KeepsWithin(parts, low, high, span)
            case t.Takes(what, least, most, span):
                ref = t.PartRef(what, None, what.span)
                whose = Where("", "", span) if what.text == WHOLE else self.movement(ref)
                return None if whose is None else t.Takes(whose, least, most, span)
            case t.ExactForces(refs, span):
                parts = self.rows.part_list(refs)
                return None if parts is None else t.ExactForces(parts, span)
            case t.NoParallels(interval, refs, places, span):
                parts, where = self.rows.part_list(refs), self.places(places, self.place)
                return None if parts is None or where is None else t.NoParallels(interval, parts, where, span)
            case t.Rests(refs, length, bars, span):
                parts = self.rows.part_list(refs)
                return None if parts is None else t.Rests(parts, length, bars, span)
            case t.Playable(refs, by, span):
                parts = self.rows.part_list(refs) if refs else ()
                known = find_profile(by, self.profiles, self.bag)
                return t.Playable(parts, by, span) if known and parts is not None else None

    def names(self, refs: tuple[t.PartRef, ...]) -> tuple[Reference, ...] | None:
        """Names of the script; None when one was reported."""
        return all_bound(map(self.name, refs))

    def name(self, ref: t.PartRef) -> Reference | None:
        """A name of the script; None when it was reported."""
        declared = self.binder.look_up(ref.part, DefinitionSort.NAME)
        return None if declared is None or ref.staff is not None else Reference(declared.identity, ref.span)

    def places(self, refs: tuple[t.PartRef, ...], find: Find) -> tuple[Where, ...] | None:
        """Each place; None when one was reported."""
        return all_bound(map(find, refs))

    def movement(self, ref: t.PartRef) -> Where | None:
        """A movement; reported if there is none."""
        if ref.staff is None and ref.part.text in self.movements:
            return Where(ref.part.text, "", ref.span)
        report_no_movement(t.Word(ref.span.text, ref.span), self.movements, self.bag)
        return None

    def place(self, ref: t.PartRef) -> Where | None:
        """A movement, a section of it, or a section whose name only one movement has."""
        if ref.staff is None and ref.part.text in self.movements:
            return Where(ref.part.text, "", ref.span)
        found = section_meant(ref, self.movements, self.bag)
        return None if found is None else Where(found[0].name.text, (ref.staff or ref.part).text, ref.span)
