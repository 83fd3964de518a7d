"""Binding movements: parts of each line found, values of each item bound."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import assert_never

from cavata.diagnostics import Diagnostics, closest
from cavata.music.mode import DEGREES, FURTHER, Mode
from cavata.music.pitch import LETTERS, PitchClass
from cavata.names.bind import Binder
from cavata.names.forces import players_of
from cavata.names.modes import no_signature
from cavata.names.passages import PassageBinder, passages_of
from cavata.names.program import (
    Apply,
    ApplyOwn,
    Bound,
    BoundChain,
    BoundForce,
    BoundItem,
    BoundKey,
    BoundLine,
    BoundMarking,
    BoundMovement,
    BoundPlaced,
    BoundRow,
    BoundSection,
    BoundSetting,
    Identity,
    PartStaff,
    Promised,
)
from cavata.names.promises import PromiseBinder
from cavata.names.rows import RowBinder
from cavata.names.scopes import Scope
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t

# ----------------------------------------------------------------
# Sections made from others: every item of the earlier one taken through further steps.
#
# In: the bound earlier section, the steps, and who is silent. Out: its rows as the new section has them. Rests and
# places
# stay; rhythms stay as they are where a step needs notes. Repeats are not taken over: a return is played once unless
# it says otherwise. Source: common practice of the da capo. A pick-up becomes an upbeat in the last bar of the section
# before, or again a pick-up where no section stands before.


Steps = tuple[Apply | ApplyOwn, ...]


def taken_over(
    rows: tuple[BoundRow, ...], steps: Steps, tacet: tuple[PartStaff, ...], span: Span
) -> tuple[BoundRow, ...]:
    """The rows with their items taken through the steps; parts that are silent lose them."""
    found: list[BoundRow] = []
    for row in rows:
        match row:
            case BoundLine():
                found.append(replace(
                    row, items=tuple(_item(item, steps, span) for item in row.items), tacet=(*row.tacet, *tacet)
                ))  # fmt: skip
            case BoundMarking():
                parts = tuple(target for target in row.parts if not silenced(target.part, target.staff, tacet))
                if parts:
                    found.append(replace(row, parts=parts))
            case BoundPlaced():
                found.append(replace(row, rows=taken_over(row.rows, steps, tacet, span)))
    return tuple(found)


def silenced(part: str, staff: str, tacet: tuple[PartStaff, ...]) -> bool:
    """Whether a staff is among those that are silent."""
    return any(target.part == part and target.staff in ("", staff) for target in tacet)


def _item(item: BoundItem | t.RestItem | t.RestTo, steps: Steps, span: Span) -> BoundItem | t.RestItem | t.RestTo:
    if not isinstance(item, BoundItem) or not steps:
        return item
    before = item.value
    if isinstance(before, BoundChain) and before.spares_rhythms:
        return replace(item, value=BoundChain(before.first, (*before.links, *steps), span, True))
    value: Bound = BoundChain(before, steps, span, True)
    return replace(item, value=value)


def upbeat_of(rows: tuple[BoundSetting, ...]) -> Fraction:
    """The pick-up that rows set; none where they set none."""
    return next((row.duration for row in rows if isinstance(row, t.PickupRow)), Fraction(0))


def from_bar_one(row: BoundRow) -> BoundRow:
    """A row of its own in a section that takes an upbeat over: without a place it begins with the first bar."""
    if isinstance(row, BoundMarking) or row.place is not None:
        return row
    return replace(row, place=t.Place(1, 1, Fraction(0), row.span))


def merged(earlier: tuple[BoundSetting, ...], own: tuple[BoundSetting, ...]) -> tuple[BoundSetting, ...]:
    """The earlier section's metre, key and tempo, each only where the new section sets none of its kind."""
    set_here = {type(row) for row in own}
    kept = (row for row in earlier if isinstance(row, t.MeterRow | BoundKey | t.TempoRow) and type(row) not in set_here)
    return (*own, *kept)


# ----------------------------------------------------------------

WIDEST_SIGNATURE = 7
DEEPEST = 40
"""Sections made from each other in a row."""


class MovementBinder:
    """Binds the movements of a piece; collects what they refer to."""

    def __init__(
        self, scope: Scope, forces: tuple[BoundForce, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics,
        known: Mapping[str, Scope],
    ) -> None:
        players = players_of(forces, groups)
        self.binder = Binder(scope, bag, players=players)
        self.rows = RowBinder(forces, groups, bag)
        self.passages = PassageBinder(known, self.rows, players, bag)
        self.bag = bag
        self.movements: dict[str, t.Movement] = {}
        self.bound: dict[int, BoundSection] = {}
        self.path: list[t.Section] = []
        self.depths: dict[int, int] = {}

    @property
    def uses(self) -> dict[Identity, Span]:
        """What the movements, and the passages in the piece, refer to."""
        return {**self.passages.uses, **self.binder.uses}

    def bind(self, movements: list[t.Movement]) -> tuple[BoundMovement, ...]:
        """Bind all movements in order, and the passages of the script, whether placed or not."""
        names: dict[str, t.Word] = {}
        for movement in movements:
            self.once(movement.name, names, "movement")
            self.movements.setdefault(movement.name.text, movement)
        for identity, tree in passages_of(self.binder.scope):
            self.passages.body(identity, tree, tree.name.span)
        return tuple(self.movement(movement) for movement in movements)

    def promises(self, blocks: list[t.Require]) -> tuple[tuple[Promised, ...], dict[Identity, Span]]:
        """What the piece requires, and the names that it speaks of, which are not heard by that alone."""
        binder = Binder(self.binder.scope, self.bag)
        return PromiseBinder(binder, self.rows, self.movements, self.bag).bind(blocks), binder.uses

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
        sections = tuple(self.section(movement, section) for section in movement.sections)
        return BoundMovement(
            movement.name.text, movement.title, movement.is_cadenza, settings, sections, movement.span
        )

    # -------------------------------------------------------------- sections

    def section(self, movement: t.Movement, section: t.Section) -> BoundSection:
        """A section, bound once."""
        found = self.bound.get(id(section))
        if found is None:
            self.path.append(section)
            found = self.bound[id(section)] = self.bound_section(movement, section)
            self.path.pop()
        return found

    def bound_section(self, movement: t.Movement, section: t.Section) -> BoundSection:
        """A section: its settings apart from its lines, what it takes over before its own."""
        lines: list[BoundRow] = []
        settings: list[t.Setting] = []
        repeats: list[t.Repeated | t.Ending] = []
        silent: list[PartStaff] = []
        for row in section.rows:
            match row:
                case t.Line() | t.Marking() | t.Placement():
                    bound = self.row(row)
                    if bound is not None:
                        lines.append(bound)
                case t.Tacet():
                    silent += self.tacet(row, section)
                case t.Repeated() | t.Ending():
                    repeats.append(row)
                case _:
                    settings.append(row)
        own = BoundSection(
            section.name.text if section.name else "", section.title, section.bars, self.settings(tuple(settings)),
            tuple(lines), section.span, tuple(repeats),
        )
        return own if section.earlier is None else self.made_from(section.earlier, own, tuple(silent), movement)

    def row(self, row: t.Line | t.Marking | t.Placement) -> BoundRow | None:
        """A line, a marking, or a passage where it is placed; None when it was reported."""
        match row:
            case t.Line():
                return self.rows.line(row, self.binder)
            case t.Marking():
                return self.rows.marking(row, self.binder)
            case t.Placement():
                return self.passages.place(row, self.binder)

    def tacet(self, row: t.Tacet, section: t.Section) -> tuple[PartStaff, ...]:
        """The parts that a section made from another leaves out."""
        if section.earlier is None:
            self.bag.error(
                "N405", row.span, "this section takes nothing over that could be silent", "",
                "`tacet` belongs to a section made from another: `section again = earlier`",
                ((section.span, "this section"),),
            )
        return self.rows.part_list(row.parts) or ()

    def made_from(
        self, earlier: t.Earlier, own: BoundSection, silent: tuple[PartStaff, ...], movement: t.Movement
    ) -> BoundSection:
        """A section with what it takes over; only its own where that was reported."""
        steps = [self.binder.step(step) for step in earlier.steps]
        found = self.earlier_section(earlier.section, movement)
        good = tuple(step for step in steps if step is not None)
        if found is None or len(good) < len(steps):
            return own
        where, tree = found
        if tree in self.path:
            names = [s.name.text for s in (*self.path[self.path.index(tree) :], tree) if s.name]
            self.bag.error(
                "N406", earlier.section.span, f"the section `{names[-1]}` is made from itself",
                "the circle is " + " -> ".join(f"`{name}`" for name in names), "write one of them out",
            )
            return own
        model = self.section(where, tree) if len(self.path) <= DEEPEST else None
        depth = self.depths[id(self.path[-1])] = 1 + self.depths.get(id(tree), 0)
        if model is None or depth > DEEPEST:
            message = f"more than {DEEPEST} sections are made from each other in a row"
            self.bag.error("N410", earlier.section.span, message, "", "write one of them out")
            self.depths[id(self.path[-1])] = 0
            return own
        settings = merged(model.settings, own.settings)
        if where is not movement:
            settings = merged(self.settings(where.settings), settings)
        lines = taken_over(model.lines, good, silent, earlier.span)
        bars = model.bars if own.bars is None else own.bars
        own_lines, upbeat = own.lines, model.upbeat or self.pickup(where, tree)
        if upbeat and self.path[-1] is movement.sections[0]:
            settings, upbeat = (*settings, t.PickupRow(upbeat, earlier.span)), Fraction(0)
        elif upbeat:
            own_lines = tuple(map(from_bar_one, own_lines))
        return replace(own, bars=bars, settings=settings, lines=(*lines, *own_lines), upbeat=upbeat)

    def pickup(self, movement: t.Movement, section: t.Section) -> Fraction:
        """The pick-up before a section, which only the first of a movement has."""
        if section is not movement.sections[0]:
            return Fraction(0)
        return upbeat_of(self.section(movement, section).settings) or upbeat_of(self.settings(movement.settings))

    def earlier_section(self, ref: t.PartRef, movement: t.Movement) -> tuple[t.Movement, t.Section] | None:
        """The section that a word means, or a movement and a word; reported if there is none."""
        name, where = (ref.part, movement) if ref.staff is None else (ref.staff, self.movements.get(ref.part.text))
        if where is None:
            guess = closest(ref.part.text, self.movements, 1)
            self.bag.error(
                "N407", ref.part.span, f"there is no movement `{ref.part.text}`", "",
                f"did you mean `{guess[0]}`?" if guess else
                "movements are " + ", ".join(f"`{m}`" for m in self.movements),
            )
            return None
        known = {section.name.text: section for section in where.sections if section.name}
        if name.text not in known:
            guess = closest(name.text, known, 1)
            elsewhere = next((m for m, other in self.movements.items() if name.text in _section_names(other)), "")
            cure = f"did you mean `{guess[0]}`?" if guess else f"write `{elsewhere}.{name.text}`" if elsewhere else ""
            self.bag.error("N407", name.span, f"`{where.name.text}` has no section `{name.text}`", "", cure)
            return None
        return where, known[name.text]

    # -------------------------------------------------------------- settings

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
        if row.mode.text in FURTHER or self.binder.is_mode(row.mode):
            self.bag.error(
                "N501", row.mode.span, f"`{row.mode.text}` has no key signature of its own", "a mode without one",
                no_signature(row.mode.text),
            )
            return None
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


def _section_names(movement: t.Movement) -> tuple[str, ...]:
    return tuple(section.name.text for section in movement.sections if section.name)


def _other_name(mode: Mode) -> str:
    """The key that sounds the same and has a signature."""
    for letter in range(len(LETTERS)):
        for alter in (-1, 0, 1):
            other = Mode(PitchClass(letter, alter), mode.name)
            if other.tonic.semitone == mode.tonic.semitone and abs(other.fifths) <= WIDEST_SIGNATURE:
                return f"write `{other}`, which sounds the same"
    return ""
