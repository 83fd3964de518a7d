"""Binding movements: parts of each line found, values of each item bound, sections made from others.

In: the movements of the piece, and its forces. Out: movements with bound rows, and what they refer to. A row in which
something was reported is left out.

A section that is made from another has the earlier one's rows before its own, every item taken through further steps.
Rests and places stay; rhythms stay as they are where a step needs notes. Meter, key and tempo are taken over where the
new section sets none of their kind. Repeats are not: a return is played once unless it says otherwise. Source: common
practice of the da capo. A pickup becomes an upbeat in the last bar of the section before, or again a pickup where no
section stands before.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics, closest, did_you_mean
from cavata.music.mode import DEGREES, FURTHER, WIDEST_SIGNATURE, Mode
from cavata.music.pitch import LETTERS, PitchClass
from cavata.names.bind import Binder, all_bound
from cavata.names.forces import players_of
from cavata.names.modes import no_signature
from cavata.names.passages import PassageBinder, passages_of
from cavata.names.program import (
    BoundMovement,
    BoundPromise,
    BoundRow,
    BoundSection,
    BoundThrough,
    Identity,
    Part,
    PartStaff,
    PassageRow,
    Placed,
)
from cavata.names.promises import PromiseBinder
from cavata.names.rows import RowBinder
from cavata.names.scopes import Scope
from cavata.names.taken_over import Steps, missing, taken_over, with_excerpt
from cavata.names.versions import report_no_movement, report_twice
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.trade_words import here

DEEPEST = 40
"""Sections made from each other in a row."""
_CHANGING = re.compile(
    r"\b(rit|ritard\w*|riten\w*|rall\w*|accel\w*|stringendo|allarg\w*|broadening|pressing on|slowing|speeding up"
    r"|langsamer werden\w*|breiter werden\w*|schneller werden\w*|drängend|beschleunig\w*|en élargissant|en pressant"
    r"|ralenti\w*|cédez)\b", re.IGNORECASE,
)  # fmt: skip
_BACK_IN_TEMPO = re.compile(r"(a|im) tempo( primo| i)?|tempo (primo|i)|wieder im tempo|au mouvement", re.IGNORECASE)
"""Words over a tempo that say a change and make none: a player slows down at `"rit."`, and nothing else does. Source of
the words: common practice."""


class MovementBinder:
    """Binds the movements of a piece; collects what they refer to."""

    def __init__(
        self, scope: Scope, forces: tuple[Part, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics,
        known: Mapping[str, Scope], without: frozenset[tuple[str, str]] | None = None,
    ) -> None:
        players = players_of(forces, groups)
        self.binder = Binder(scope, bag, players=players)
        self.rows = RowBinder(forces, groups, bag, without)
        self.passages = PassageBinder(known, self.rows, players, bag)
        self.bag = bag
        self.movements: dict[str, t.ParsedMovement] = {}
        self.bound: dict[int, BoundSection] = {}
        self.path: list[t.ParsedSection] = []
        self.depths: dict[int, int] = {}

    @property
    def uses(self) -> dict[Identity, Span]:
        """What the movements, and the passages in the piece, refer to."""
        return {**self.passages.uses, **self.binder.uses}

    def bind(self, movements: list[t.ParsedMovement]) -> tuple[BoundMovement, ...]:
        """Bind all movements in order, and the passages of the script, whether placed or not."""
        report_twice((movement.name for movement in movements), "movement", self.bag)
        for movement in movements:
            self.movements.setdefault(movement.name.text, movement)
        for identity, tree in passages_of(self.binder.scope):
            self.passages.body(identity, tree, tree.name.span)
        return tuple(self.movement(movement) for movement in movements)

    def promises(
        self, blocks: list[t.Require], profiles: Sequence[str]
    ) -> tuple[tuple[BoundPromise, ...], dict[Identity, Span]]:
        """What the piece requires, and the names that it speaks of, which are not heard by that alone."""
        binder = Binder(self.binder.scope, self.bag)
        return PromiseBinder(binder, self.rows, self.movements, self.bag, profiles).bind(blocks), binder.uses

    def movement(self, movement: t.ParsedMovement) -> BoundMovement:
        """A movement or cadenza."""
        report_twice((section.name for section in movement.sections if section.name is not None), "section", self.bag)
        settings = self.settings(movement.settings)
        through = () if movement.through is None else self.rows.through(movement.through, self.binder)
        # Only here: what another movement takes over is as it was before it went through this.
        sections = tuple(
            section.having((*section.rows, *through))
            for section in (self.section(movement, written) for written in movement.sections)
        )
        return movement.having(settings, sections)

    # -------------------------------------------------------------- sections

    def section(self, movement: t.ParsedMovement, section: t.ParsedSection) -> BoundSection:
        """A section, bound once."""
        found = self.bound.get(id(section))
        if found is None:
            self.path.append(section)
            found = self.bound[id(section)] = self.bound_section(movement, section)
            self.path.pop()
        return found

    def bound_section(self, movement: t.ParsedMovement, section: t.ParsedSection) -> BoundSection:
        """A section: what it takes over, and its own rows."""
        rows: list[BoundRow] = []
        silent: list[PartStaff] = []
        through: tuple[BoundThrough, ...] = ()
        for row in section.rows:
            match row:
                case t.Tacet():
                    silent += self.tacet(row, section)
                case t.Line() | t.Marking() | t.Doubling() | t.Placement():
                    bound = self.row(row)
                    if bound is not None:
                        rows.append(bound)
                case t.Through():
                    through += self.rows.through(row, self.binder)
                case t.KeyRow() if not self.is_key(row):
                    pass
                case t.TempoRow():
                    _report_words_alone(row, self.bag)
                    rows.append(row)
                case _:
                    rows.append(row)
        own = section.having((*rows, *through))
        return own if section.earlier is None else self.made_from(section.earlier, own, tuple(silent), movement)

    def row(
        self, row: t.ParsedLine | t.ParsedMarking | t.ParsedDoubling | t.Placement
    ) -> PassageRow | None:
        """A line, a marking, a doubling, or a passage where it is placed; None when it was reported."""
        match row:
            case t.Line():
                return self.rows.line(row, self.binder)
            case t.Marking():
                return self.rows.marking(row, self.binder)
            case t.Doubling():
                return self.rows.doubling(row, self.binder)
            case t.Placement():
                return self.passages.place(row, self.binder)

    def tacet(self, row: t.Tacet, section: t.ParsedSection) -> tuple[PartStaff, ...]:
        """The parts that a section made from another leaves out."""
        if section.earlier is None:
            self.bag.error(
                "N405", row.span, "this section takes nothing over that could be silent",
                cure="`tacet` belongs to a section made from another: `section again = earlier`",
                also=((section.span, "this section"),),
            )
        return self.rows.part_list(row.parts) or ()

    def made_from(
        self, earlier: t.Earlier, own: BoundSection, silent: tuple[PartStaff, ...], movement: t.ParsedMovement
    ) -> BoundSection:
        """A section with what it takes over; only its own where that was reported."""
        steps: Steps | None = all_bound(map(self.binder.change, earlier.steps))
        found = self.earlier_section(earlier.section, movement)
        if found is None or steps is None:
            return own
        where, tree = found
        if tree in self.path:
            names = [s.name.text for s in (*self.path[self.path.index(tree) :], tree) if s.name]
            self.bag.error(
                "N406", earlier.section.span, f"the section `{names[-1]}` is made from itself",
                label="the circle is " + " -> ".join(f"`{name}`" for name in names), cure="write one of them out",
            )
            return own
        model = self.section(where, tree) if len(self.path) <= DEEPEST else None
        depth = self.depths[id(self.path[-1])] = 1 + self.depths.get(id(tree), 0)
        if model is None or depth > DEEPEST:
            message = f"more than {DEEPEST} sections are made from each other in a row"
            self.bag.error("N410", earlier.section.span, message, cure="write one of them out")
            self.depths[id(self.path[-1])] = 0
            return own
        its_own = model.settings
        if where is not movement:
            its_own += missing(its_own, self.settings(where.settings))
        rows = taken_over(model.rows, steps, silent, earlier.span)
        upbeat = model.upbeat or self.pickup(where, tree)
        if earlier.bars is not None:
            whole: BoundSection = model.having((*rows, *its_own))
            return with_excerpt(own, replace(whole, upbeat=upbeat or None), earlier.bars, earlier.span)
        settings = missing(own.settings, its_own)
        bars = model.bars if own.bars is None else own.bars
        own_rows = own.rows
        if upbeat and self.path[-1] is movement.sections[0]:
            settings, upbeat = (*settings, t.PickupRow(upbeat, earlier.span)), Fraction(0)
        elif upbeat:
            own_rows = tuple(map(from_bar_one, own_rows))
        return replace(own, bars=bars, rows=(*rows, *own_rows, *settings), upbeat=upbeat or None)

    def pickup(self, movement: t.ParsedMovement, section: t.ParsedSection) -> Fraction:
        """The pickup before a section, which only the first of a movement has."""
        if section is not movement.sections[0]:
            return Fraction(0)
        return upbeat_of(self.section(movement, section).settings) or upbeat_of(self.settings(movement.settings))

    def earlier_section(
        self, ref: t.PartRef, movement: t.ParsedMovement
    ) -> tuple[t.ParsedMovement, t.ParsedSection] | None:
        """The section that a word means, or a movement and a word; reported if there is none."""
        name, where = (ref.part, movement) if ref.staff is None else (ref.staff, self.movements.get(ref.part.text))
        if where is None:
            report_no_movement(ref.part, self.movements, self.bag)
            return None
        known = {section.name.text: section for section in where.sections if section.name}
        if name.text not in known:
            elsewhere = next((m for m, other in self.movements.items() if name.text in _section_names(other)), "")
            cure = did_you_mean(name.text, known) or (f"write `{elsewhere}.{name.text}`" if elsewhere else "")
            self.bag.error("N407", name.span, f"`{where.name.text}` has no section `{name.text}`", cure=cure)
            return None
        return where, known[name.text]

    # -------------------------------------------------------------- settings

    def settings(self, rows: tuple[t.Setting, ...]) -> tuple[t.Setting, ...]:
        """Settings, but for keys that cannot be, which are reported."""
        return tuple(row for row in rows if not isinstance(row, t.KeyRow) or self.is_key(row))

    def is_key(self, row: t.KeyRow) -> bool:
        """Whether a row's mode is one that has a signature over its tonic; reported if not."""
        if row.mode is None or row.tonic is None:
            return True
        if row.mode.text in FURTHER or self.binder.is_mode(row.mode):
            self.bag.error(
                "N501", row.mode.span, f"`{row.mode.text}` has no key signature of its own", label="a mode without one",
                cure=no_signature(row.mode.text),
            )
            return False
        if row.mode.text not in DEGREES:
            guess = closest(row.mode.text, DEGREES, 1)
            self.bag.error(
                "N217", row.mode.span, f"there is no mode `{row.mode.text}`",
                cure=here(row.mode.text.split()[-1])
                or (f"did you mean `{row.tonic} {guess[0]}`?" if guess else "modes are " + ", ".join(DEGREES)),
            )
            return False
        mode = Mode(row.tonic, row.mode.text)
        if abs(mode.fifths) > WIDEST_SIGNATURE:
            self.bag.error(
                "N218", row.mode.span, f"{mode} would need {mode.signs}", label="no such signature",
                cure=_other_name(mode),
            )
            return False
        return True


# ------------------------------------------------------------------ upbeats


def upbeat_of(rows: tuple[t.Setting, ...]) -> Fraction:
    """The pickup that rows set; none where they set none."""
    return next((row.duration for row in rows if isinstance(row, t.PickupRow)), Fraction(0))


def from_bar_one(row: BoundRow) -> BoundRow:
    """A row of its own in a section that takes an upbeat over: without a place it begins with the first bar."""
    if isinstance(row, t.Line | Placed) and row.place is None:
        return replace(row, place=t.Place(1, 1, Fraction(0), row.span))
    return row


# ------------------------------------------------------------------ in words


def _section_names(movement: t.ParsedMovement) -> tuple[str, ...]:
    return tuple(section.name.text for section in movement.sections if section.name)


def _other_name(mode: Mode) -> str:
    """The key that sounds the same and has a signature."""
    for letter in range(len(LETTERS)):
        for alter in (-1, 0, 1):
            other = Mode(PitchClass(letter, alter), mode.name)
            if other.tonic.semitone == mode.tonic.semitone and abs(other.fifths) <= WIDEST_SIGNATURE:
                return f"write `{other}`, which sounds the same"
    return ""


def _report_words_alone(row: t.TempoRow, bag: Diagnostics) -> None:
    """Warn of words that say a change of tempo where the row changes none: who counts on it hears the old speed."""
    if row.beat is not None or row.back or not row.words:
        return
    if _BACK_IN_TEMPO.fullmatch(row.words.strip(" .()")):
        cure = f'write `back in tempo, "{row.words}"`'
    elif _CHANGING.search(row.words):
        cure = f'say where it leads: `"{row.words}" to 1/4 at 48 over 2 bars`'
    else:
        return
    bag.warning("N841", row.span, "these words alone change no tempo", label="it goes on as before", cure=cure)
