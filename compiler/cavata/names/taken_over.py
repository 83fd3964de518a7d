"""What a section takes over from another one, and what a passage is where it is placed: rows taken through steps.

In: bound rows. Out: the same rows, every item through further steps; of bars 3 to 6 of a section also the settings that
hold there, counted anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from cavata.names.program import (
    Apply,
    ApplyOwn,
    Bound,
    BoundChain,
    BoundRow,
    BoundSection,
    BoundStep,
    PartStaff,
    PassageRow,
    Placed,
    Taken,
)
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t

TRANSPOSING = ("up", "down")
"""The transforms that leave a chord symbol true, and only its root and bass another."""
Steps = tuple[BoundStep | ApplyOwn, ...]
TakenOver = PassageRow | t.Excerpt[BoundRow]
_Held = TypeVar("_Held", t.MeterRow, t.KeyRow, t.TempoRow)


def taken_over(
    rows: tuple[BoundRow, ...], steps: Steps, tacet: tuple[PartStaff, ...], span: Span
) -> tuple[TakenOver, ...]:
    """The rows with their items taken through the steps; parts that are silent lose them, and are not doubled."""
    found: list[TakenOver] = []
    for row in rows:
        match row:
            case t.Excerpt(section=section):
                inner: tuple[BoundRow, ...] = (*taken_over(section.rows, steps, tacet, span), *section.settings)
                found.append(row.having(inner))
            case t.Line() | t.Marking() | t.Doubling() | Placed():
                found += passage_rows((row,), steps, tacet, span)
            case _:
                pass
    return tuple(found)


def passage_rows(
    rows: tuple[PassageRow, ...], steps: Steps, tacet: tuple[PartStaff, ...], span: Span
) -> tuple[PassageRow, ...]:
    """The same for rows that a passage may have."""
    found: list[PassageRow] = []
    for row in rows:
        match row:
            case t.Line():
                items = tuple(_item(item, steps, span) for item in row.items)
                found.append(replace(row, items=items, tacet=(*row.tacet, *tacet)))
            case t.Marking():
                parts = sounding(row.parts, tacet)
                if parts:
                    found.append(replace(row, parts=parts, step=_marking(row.step, steps, span)))
            case t.Doubling():
                parts = sounding(row.parts, tacet)
                if parts and not any(silenced(target.part, target.staff, tacet) for target in row.model):
                    found.append(replace(row, parts=parts))
            case Placed():
                found.append(replace(row, rows=passage_rows(row.rows, steps, tacet, span)))
    return tuple(found)


def _marking(marking: BoundStep, steps: Steps, span: Span) -> BoundStep:
    """A marking whose notes, as chord symbols or grace notes, are transposed with those that it marks."""
    moves = tuple(step for step in steps if isinstance(step, Apply) and step.transform.word in TRANSPOSING)
    if not moves or marking.transform.family != "dress":
        return marking
    return marking.given(tuple(
        replace(argument, value=BoundChain(argument.value, moves, span)) if isinstance(argument, Taken) else argument
        for argument in marking.arguments
    ))  # fmt: skip


def sounding(parts: Iterable[PartStaff], tacet: tuple[PartStaff, ...]) -> tuple[PartStaff, ...]:
    """The parts that are not silent."""
    return tuple(target for target in parts if not silenced(target.part, target.staff, tacet))


def silenced(part: str, staff: str, tacet: tuple[PartStaff, ...]) -> bool:
    """Whether a staff is among those that are silent."""
    return any(target.part == part and target.staff in ("", staff) for target in tacet)


def _item(
    item: t.Item[Bound] | t.RestItem | t.RestTo, steps: Steps, span: Span
) -> t.Item[Bound] | t.RestItem | t.RestTo:
    if not isinstance(item, t.Item) or not steps:
        return item
    before = item.value
    if isinstance(before, BoundChain) and before.spares_rhythms:
        return item.holding(BoundChain(before.first, (*before.links, *steps), span, True))
    return item.holding(BoundChain(before, steps, span, True))


# ------------------------------------------------------------------ settings


def missing(own: tuple[t.Setting, ...], earlier: tuple[t.Setting, ...]) -> tuple[t.Setting, ...]:
    """The earlier section's meter, key and tempo, each only where the new section sets none of its kind."""
    set_here = {type(row) for row in own}
    kinds = t.MeterRow | t.KeyRow | t.TempoRow
    return tuple(row for row in earlier if isinstance(row, kinds) and type(row) not in set_here)


def with_excerpt(own: BoundSection, model: BoundSection, bars: tuple[int, int], span: Span) -> BoundSection:
    """A section that is made from some bars of another one, with the settings that hold there."""
    first, last = bars
    settings = missing(own.settings, settings_from(model.settings, first, last))
    rows = (t.Excerpt(model, first=first, last=last, span=span), *own.rows, *settings)
    return replace(own, bars=last - first + 1 if own.bars is None else own.bars, rows=rows)


def settings_from(rows: Sequence[t.Setting], first: int, last: int) -> tuple[t.Setting, ...]:
    """The settings that hold in bars of a section, for a section in which the first of them is bar 1.

    A change of tempo that was under way there has arrived.
    """
    found: list[t.Setting] = []
    found += _held([row for row in rows if isinstance(row, t.MeterRow)], first, last)
    found += _held([row for row in rows if isinstance(row, t.KeyRow)], first, last)
    tempi = [row for row in rows if isinstance(row, t.TempoRow)]
    for row in _held(tempi, first, last):
        if row.place is None and row.bend:
            found.append(replace(row, bend="", over=None))
        elif row.place is None and row.back:
            steady = [before for before in tempi if not before.bend and not before.back and _bar(before) < first]
            found += [replace(max(steady, key=_bar), place=None)] if steady else []
        else:
            found.append(row)
    return tuple(found)


def _held(rows: Sequence[_Held], first: int, last: int) -> list[_Held]:
    """The row in force where the bars begin, without a place, and those within them, at their new places."""
    before = [row for row in rows if _bar(row) < first or (_bar(row) == first and _on_the_bar(row))]
    within = [row for row in rows if first <= _bar(row) <= last and row not in before]
    head = [replace(max(before, key=_bar), place=None)] if before else []
    return head + [replace(row, place=_earlier(row.place, first - 1)) for row in within]


def _bar(row: t.MeterRow | t.KeyRow | t.TempoRow) -> int:
    return 0 if row.place is None else row.place.bar


def _on_the_bar(row: t.MeterRow | t.KeyRow | t.TempoRow) -> bool:
    """Whether it holds from its bar's beginning on, and at once."""
    place = row.place
    at_once = not isinstance(row, t.TempoRow) or not row.bend
    return place is None or (place.beat == 1 and not place.offset and at_once)


def _earlier(place: t.Place | None, bars: int) -> t.Place | None:
    return None if place is None else replace(place, bar=place.bar - bars)
