"""Sections made from others: every item of the earlier one taken through further steps.

In: the bound earlier section, the steps, and who is silent. Out: its rows as the new section has them. Rests and places
stay; rhythms stay as they are where a step needs notes. Repeats are not taken over: a return is played once unless
it says otherwise. Source: common practice of the da capo. A pick-up becomes an upbeat in the last bar of the section
before, or again a pick-up where no section stands before.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.names.program import (
    Apply,
    ApplyOwn,
    Bound,
    BoundChain,
    BoundItem,
    BoundKey,
    BoundLine,
    BoundMarking,
    BoundPlaced,
    BoundRow,
    BoundSetting,
    PartStaff,
)
from cavata.record import replace
from cavata.source import Span
from cavata.syntax import tree as t

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
