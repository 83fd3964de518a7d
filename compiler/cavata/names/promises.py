"""Binding the rows of `require`: names, parts, movements and sections found.

In: the rows, and what the piece has. Out: promises that can be looked at once the piece is placed; a row in which
something was reported is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.names.bind import Binder
from cavata.names.profiles import find_profile
from cavata.names.program import BoundPromise, DefinitionSort, Reference, Where
from cavata.names.rows import RowBinder
from cavata.syntax import tree as t
from cavata.text import quoted

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
        found: list[Reference] = []
        complete = True
        for ref in refs:
            declared = self.binder.look_up(ref.part, DefinitionSort.NAME)
            if declared is None or ref.staff is not None:
                complete = False
                continue
            found.append(Reference(declared.identity, ref.span))
        return tuple(found) if complete else None

    def places(self, refs: tuple[t.PartRef, ...], find: Find) -> tuple[Where, ...] | None:
        """Each place; None when one was reported."""
        found = [find(ref) for ref in refs]
        good = tuple(where for where in found if where is not None)
        return good if len(good) == len(found) else None

    def movement(self, ref: t.PartRef) -> Where | None:
        """A movement; reported if there is none."""
        if ref.staff is None and ref.part.text in self.movements:
            return Where(ref.part.text, "", ref.span)
        self.bag.error(
            "N407", ref.span, f"there is no movement `{ref.span.text}`",
            cure=did_you_mean(ref.part.text, self.movements) or
            "movements are " + quoted(self.movements),
        )
        return None

    def place(self, ref: t.PartRef) -> Where | None:
        """A movement, a section of it, or a section whose name only one movement has."""
        if ref.staff is not None:
            movement = self.movement(t.PartRef(ref.part, None, ref.part.span))
            if movement is None:
                return None
            return self.section(ref.staff, [movement.movement], ref)
        if ref.part.text in self.movements:
            return Where(ref.part.text, "", ref.span)
        return self.section(ref.part, list(self.movements), ref)

    def section(self, word: t.Word, among: list[str], ref: t.PartRef) -> Where | None:
        """A section of that name in one of the movements; reported if there is none, or more than one."""
        names = {m: [s.name.text for s in self.movements[m].sections if s.name] for m in among}
        holding = [movement for movement, sections in names.items() if word.text in sections]
        if len(holding) == 1:
            return Where(holding[0], word.text, ref.span)
        if holding:
            self.bag.error(
                "N408", word.span, f"several movements have a section `{word.text}`", label="which of them?",
                cure="write " + " or ".join(f"`{movement}.{word.text}`" for movement in holding),
            )
            return None
        known = [name for sections in names.values() for name in sections]
        self.bag.error(
            "N407", word.span, f"there is no section `{word.text}`",
            cure=did_you_mean(word.text, known) or
            ("sections are " + quoted(known[:8]) if known else ""),
        )
        return None
