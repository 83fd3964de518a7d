"""Binding movements: parts of each line found, values of each item bound."""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.music.mode import DEGREES, Mode
from cavata.music.pitch import LETTERS, PitchClass
from cavata.names.bind import Binder
from cavata.names.forces import players_of
from cavata.names.program import (
    Apply,
    BoundForce,
    BoundItem,
    BoundKey,
    BoundLine,
    BoundMarking,
    BoundMovement,
    BoundSection,
    BoundSetting,
    Identity,
    PartStaff,
)
from cavata.names.scopes import Scope
from cavata.source import Span
from cavata.syntax import tree as t

WIDEST_SIGNATURE = 7
_DRESS = "dress"


class MovementBinder:
    """Binds the movements of a piece; collects what they refer to."""

    def __init__(
        self, scope: Scope, forces: tuple[BoundForce, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics
    ) -> None:
        self.binder = Binder(scope, bag, players=players_of(forces, groups))
        self.parts = {force.name: force for force in forces}
        self.groups = groups
        self.bag = bag

    @property
    def uses(self) -> dict[Identity, Span]:
        """What the movements refer to."""
        return self.binder.uses

    def bind(self, movements: list[t.Movement]) -> tuple[BoundMovement, ...]:
        """Bind all movements in order."""
        names: dict[str, t.Word] = {}
        for movement in movements:
            self.once(movement.name, names, "movement")
        return tuple(self.movement(movement) for movement in movements)

    def once(self, word: t.Word, names: dict[str, t.Word], what: str) -> None:
        """Report a second thing of that name."""
        if word.text in names:
            self.bag.error(
                "N216", word.span, f"two {what}s are called `{word.text}`", "again here", "choose another name",
                ((names[word.text].span, "first here"),),
            )
        names.setdefault(word.text, word)

    def movement(self, movement: t.Movement) -> BoundMovement:
        """A movement or cadenza."""
        names: dict[str, t.Word] = {}
        for section in movement.sections:
            if section.name is not None:
                self.once(section.name, names, "section")
        settings = self.settings(movement.settings)
        sections = tuple(self.section(section) for section in movement.sections)
        return BoundMovement(
            movement.name.text, movement.title, movement.is_cadenza, settings, sections, movement.span
        )

    def section(self, section: t.Section) -> BoundSection:
        """A section: its settings apart from its lines."""
        lines: list[BoundLine | BoundMarking] = []
        settings: list[t.Setting] = []
        for row in section.rows:
            bound: BoundLine | BoundMarking | None
            match row:
                case t.Line():
                    bound = self.line(row)
                case t.Marking():
                    bound = self.marking(row)
                case _:
                    settings.append(row)
                    continue
            if bound is not None:
                lines.append(bound)
        name = section.name.text if section.name else ""
        return BoundSection(
            name, section.title, section.bars, self.settings(tuple(settings)), tuple(lines), section.span
        )

    def settings(self, rows: tuple[t.Setting, ...]) -> tuple[BoundSetting, ...]:
        """Settings with their modes found; a row whose mode is not known is left out."""
        bound: list[BoundSetting] = []
        for row in rows:
            match row:
                case t.KeyRow():
                    key = self.key(row)
                    if key is not None:
                        bound.append(key)
                case t.MeterRow() | t.TempoRow() | t.PickupRow() | t.Attacca():
                    bound.append(row)
                case _:
                    assert_never(row)
        return tuple(bound)

    def key(self, row: t.KeyRow) -> BoundKey | None:
        """A key row; None when its mode was reported."""
        if row.mode is None or row.tonic is None:
            return BoundKey(row.place, None, row.span)
        if row.mode.text not in DEGREES:
            guess = closest(row.mode.text, DEGREES, 1)
            self.bag.error(
                "N217", row.mode.span, f"there is no mode `{row.mode.text}`", "",
                f"did you mean `{row.tonic} {guess[0]}`?" if guess else "modes are " + ", ".join(DEGREES),
            )
            return None
        mode = Mode(row.tonic, row.mode.text)
        if abs(mode.fifths) > WIDEST_SIGNATURE:
            signs = f"{abs(mode.fifths)} {'sharps' if mode.fifths > 0 else 'flats'}"
            self.bag.error(
                "N218", row.mode.span, f"{mode} would need {signs}", "no such signature",
                _other_name(mode),
            )
            return None
        return BoundKey(row.place, mode, row.span)

    # -------------------------------------------------------------- lines

    def part_list(self, refs: tuple[t.PartRef, ...]) -> tuple[PartStaff, ...] | None:
        """Parts and staves in order, groups opened, each once; None when one was reported."""
        found: list[PartStaff] = []
        complete = True
        for ref in refs:
            members = self.groups.get(ref.part.text) or ((ref.part.text,) if ref.part.text in self.parts else ())
            staff = ref.staff.text if ref.staff else ""
            if not members:
                complete = False
                known = (*self.parts, *self.groups)
                guess = closest(ref.part.text, known, 1)
                if ref.part.text not in self.groups:
                    self.bag.error(
                        "N223", ref.part.span, f"there is no part `{ref.part.text}`", "not among the forces",
                        f"did you mean `{guess[0]}`?" if guess else "name it under `forces`",
                    )
            for member in members:
                complete = self.staff_exists(member, ref) and complete
                found.append(PartStaff(member, staff, ref.span))
        once = {(target.part, target.staff): target for target in reversed(found)}
        return tuple(target for target in found if once[target.part, target.staff] is target) if complete else None

    def staff_exists(self, part: str, ref: t.PartRef) -> bool:
        """Whether the part has the staff that is named; reported if not."""
        staves = self.parts[part].instrument.staves
        if ref.staff is None or ref.staff.text in staves:
            return True
        self.bag.error(
            "N224", ref.staff.span, f"`{part}` has no staff `{ref.staff.text}`", "",
            "its staves are " + " and ".join(f"`{part}.{s}`" for s in staves) if len(staves) > 1 else
            f"it has one staff: `{part}`",
        )
        return False

    def line(self, line: t.Line) -> BoundLine | None:
        """A score line; None when a part or a value of it was reported."""
        parts = self.part_list(line.parts)
        items: list[BoundItem | t.RestItem | t.RestTo] = []
        complete = parts is not None
        for item in line.items:
            if not isinstance(item, t.Item):
                items.append(item)
                continue
            value = self.binder.value(item.value)
            if value is None:
                complete = False
                continue
            items.append(BoundItem(value, item.repeat, item.over, item.span))
        if not complete or parts is None:
            return None
        return BoundLine(parts, line.place, tuple(items), line.span)

    def marking(self, row: t.Marking) -> BoundMarking | None:
        """A marking over bars; None when it was reported. Only steps of dress can stand there."""
        parts = self.part_list(row.parts)
        step = self.binder.step(row.step)
        if parts is None or step is None:
            return None
        if not isinstance(step, Apply) or step.transform.family != _DRESS:
            self.bag.error(
                "N219", row.step.span, f"`{row.step.word.text}` cannot be written over bars", "changes the notes",
                "over bars stand `marked`, `crescendo`, `diminuendo` and `slurred`",
            )
            return None
        return BoundMarking(parts, row.first, row.last, step, row.span)


def _other_name(mode: Mode) -> str:
    """The key that sounds the same and has a signature."""
    for letter in range(len(LETTERS)):
        for alter in (-1, 0, 1):
            other = Mode(PitchClass(letter, alter), mode.name)
            if other.tonic.semitone == mode.tonic.semitone and abs(other.fifths) <= WIDEST_SIGNATURE:
                return f"write `{other}`, which sounds the same"
    return ""
