"""Binding score lines and markings: parts of each line found, values of each item bound.

In: rows of the syntax tree. Out: bound rows; None for one in which something was reported.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain

from cavata.diagnostics import Diagnostics
from cavata.names.bind import Binder, all_bound
from cavata.names.forces import report_no_part
from cavata.names.program import (
    Apply,
    ApplyOwn,
    BoundDoubling,
    BoundItem,
    BoundLine,
    BoundMarking,
    BoundStep,
    BoundThrough,
    Part,
    PartStaff,
)
from cavata.syntax import tree as t

_DRESS, _PITCH = "dress", "pitch"

StavesOfParts = Mapping[str, tuple[PartStaff, ...]]
"""What the parameters of a passage stand for that are parts."""
NOBODY: StavesOfParts = {}


class RowBinder:
    """Binds the rows of sections and passages."""

    def __init__(
        self, forces: tuple[Part, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics,
        without: frozenset[tuple[str, str]] | None = None,
    ) -> None:
        self.parts = {force.name: force for force in forces}
        self.groups = groups
        self.bag = bag
        self.without = without
        """Parts and their staves that a version leaves out, which its instruments need not have; None in a piece."""

    def part_list(
        self, refs: tuple[t.PartRef, ...], stands_for: StavesOfParts = NOBODY
    ) -> tuple[PartStaff, ...] | None:
        """Parts and staves in order, groups opened, each once; None when one was reported."""
        found = all_bound(self.members(ref, stands_for) for ref in refs)
        if found is None:
            return None
        once: dict[tuple[str, str], PartStaff] = {}
        for target in chain.from_iterable(found):
            once.setdefault((target.part, target.staff), target)
        return tuple(once.values())

    def members(self, ref: t.PartRef, stands_for: StavesOfParts) -> tuple[PartStaff, ...] | None:
        """The parts that a reference stands for; None when it was reported."""
        given = stands_for.get(ref.part.text)
        if given is None:
            names = self.groups.get(ref.part.text) or ((ref.part.text,) if ref.part.text in self.parts else ())
            given = tuple(PartStaff(name, "", ref.span) for name in names)
        if not given:
            self.report_unknown(ref.part)
            return None
        if ref.staff is None:
            return given
        staff = ref.staff.text
        known = [self.staff_exists(target, ref) for target in given]
        if not all(known):
            return None
        return tuple(PartStaff(target.part, staff, ref.span) for target in given)

    def report_unknown(self, part: t.Word) -> None:
        """A name that is no part; a group without any was reported where it stands."""
        if part.text not in self.groups:
            report_no_part(part, (*self.parts, *self.groups), self.bag)

    def staff_exists(self, target: PartStaff, ref: t.PartRef) -> bool:
        """Whether a part has the staff that is named; reported if not."""
        assert ref.staff is not None
        name = target.part
        staves = self.parts[name].instrument.staves
        staff = ref.staff.text
        if target.staff in ("", staff) and (staff in staves or (name, staff) in (self.without or ())):
            return True
        those = "its staves are " + " and ".join(f"`{name}.{s}`" for s in staves)
        if len(staves) == 1:
            those = f"it has one staff: `{name}`"
        if self.without is not None:
            those += f"; `without {name}.{staff}` leaves out what was written there"
        self.bag.error("N224", ref.staff.span, f"`{name}` has no staff `{staff}`", cure=those)
        return False

    def items(self, line: t.ParsedLine, binder: Binder) -> tuple[BoundItem | t.RestItem | t.RestTo, ...] | None:
        """The items of a line; None when a value of it was reported."""

        def bound(item: t.ParsedItem) -> BoundItem | t.RestItem | t.RestTo | None:
            if not isinstance(item, t.Item):
                return item
            value = binder.value(item.value)
            return None if value is None else item.holding(value)

        return all_bound(map(bound, line.items))

    def line(self, line: t.ParsedLine, binder: Binder) -> BoundLine | None:
        """A score line; None when a part or a value of it was reported."""
        parts = self.part_list(line.parts)
        items = self.items(line, binder)
        return None if parts is None or items is None else line.playing(parts, items)

    def marking(self, row: t.ParsedMarking, binder: Binder) -> BoundMarking | None:
        """A marking over bars; None when it was reported."""
        parts = self.part_list(row.parts)
        step = self.dress(row, binder)
        return None if parts is None or step is None else row.taking(parts, step)

    def doubling(self, row: t.ParsedDoubling, binder: Binder) -> BoundDoubling | None:
        """Parts that double another; None when it was reported."""
        parts, model = self.part_list(row.parts), self.part_list(row.model)
        found = [binder.step(step) for step in row.steps]
        steps = [step for step in found if isinstance(step, Apply)]
        own = next((step for step in found if isinstance(step, ApplyOwn)), None)
        if own is not None:
            self.bag.error(
                "N870", own.span, "a doubling goes through transforms of the language",
                label="a transform of a script", cure="write what it does here, one transform after another",
            )  # fmt: skip
        if parts is None or model is None or len(steps) < len(found):
            return None
        taken = {target.part for target in parts}
        if len(model) > 1 or any(target.part in taken for target in model):
            several = len(model) > 1
            self.bag.error(
                "N871", row.model[0].span, f"`{row.model[0].span.text}` is several parts" if several else
                f"`{model[0].part}` cannot double itself", label="one part is doubled at a time" if several else "",
                cure="a row for each" if several else "name the part that plays the line after `doubles`",
            )  # fmt: skip
            return None
        return row.taking(parts, model, tuple(steps))

    def dress(self, row: t.ParsedMarking, binder: Binder) -> BoundStep | None:
        """The step of a marking, which must be one of dress or pitch; None when it was reported."""
        step = binder.step(row.step)
        if step is None:
            return None
        if not isinstance(step, Apply) or step.transform.family not in (_DRESS, _PITCH):
            own = isinstance(step, ApplyOwn)
            self.bag.error(
                "N219", row.step.span, f"`{row.step.word.text}` cannot be written over bars",
                label="a transform of a script" if own else "changes more than pitches and markings",
                cure="over bars stand what dresses, as `marked` or `crescendo`, and what moves pitches, as `down P8`",
            )
            return None
        return step

    def through(self, row: t.ParsedThrough, binder: Binder) -> tuple[BoundThrough, ...]:
        """What a heading says, which must be transforms of pitch; nothing when one was reported."""
        found: list[BoundStep] = []
        for written in row.steps:
            step = binder.step(written)
            if isinstance(step, Apply) and step.transform.family == _PITCH:
                found.append(step)
            elif step is not None:
                self.report_no_heading(written, step)
        if len(found) < len(row.steps):
            return ()
        parts = self.part_list(row.parts)
        return () if parts is None else (t.Through(parts, tuple(found), row.span),)

    def report_no_heading(self, written: t.Step, step: BoundStep | ApplyOwn) -> None:
        """A transform that a whole section cannot go through."""
        word, family = written.word.text, step.transform.family if isinstance(step, Apply) else ""
        if family in ("order", "time"):
            label = "its parts would no longer come together" if family == "order" else "its bars would change"
        else:
            label = {"": "a transform of a script", _DRESS: "a sign at notes"}.get(family, "it makes other notes")
        self.bag.error(
            "N881", written.span, f"`{word}` cannot change a whole section or movement", label=label,
            cure=f"write it over bars, as `violin bars 1 to 4: {written.span.text}`" if family == _DRESS else
            "headings take what moves pitches, as `-> down M2`; other transforms go to the items",
        )
