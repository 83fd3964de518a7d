"""Binding the staves that several parts share in the full score: their parts found, their names made.

In: the `staff` statements, the forces, and what each name stands for. Out: the staves that can be written; what cannot
be was reported. Holds after: the parts of a staff stand next to each other on the page, none stands on two, and all of
them are read alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from cavata.diagnostics.record import Diagnostics
from cavata.instruments.instrument import Instrument
from cavata.instruments.printed import numbered, printed_abbreviation, printed_name
from cavata.names.labels import half
from cavata.names.numerals import roman
from cavata.names.program import BoundForce, BoundStaff
from cavata.syntax import tree as t

MOST_PLAYERS = 4
"""More than four parts on a staff cannot be told apart: two voices of two. Source: common practice."""
MOST_LINES = 5


def bind_staves(
    main: t.Module, forces: tuple[BoundForce, ...], groups: Mapping[str, tuple[str, ...]], bag: Diagnostics
) -> tuple[BoundStaff, ...]:
    """The shared staves in the order of the page."""
    order = {force.name: place for place, force in enumerate(forces)}
    taken: dict[str, t.Word] = {}
    staves: list[BoundStaff] = []
    for staff in (d for d in main.declarations if isinstance(d, t.SharedStaff)):
        parts = sorted(groups.get(staff.name.text, ()), key=order.__getitem__)
        members = [forces[order[part]] for part in parts]
        double = next((part for part in parts if part in taken), None)
        if double is not None:
            bag.error(
                "N240", staff.name.span, f"`{double}` stands on two staves", "the second one",
                "leave it out of one of them", ((taken[double].span, "the first one"),),
            )
            continue
        taken |= dict.fromkeys(parts, staff.name)
        if _can_share(staff, members, order, bag):
            label, abbreviation = _names(members, forces)
            label, short = staff.label or label, staff.abbreviation or staff.label or abbreviation
            staves.append(BoundStaff(staff.name.text, label, short, tuple(parts), staff.name.span, staff.apart))
    return tuple(sorted(staves, key=lambda staff: order[staff.parts[0]]))


def _can_share(staff: t.SharedStaff, members: list[BoundForce], order: Mapping[str, int], bag: Diagnostics) -> bool:
    """Whether the parts can stand on one staff; the first reason why not is reported."""
    name, span = staff.name.text, staff.name.span
    if len(members) < 2:
        if len(staff.parts) == 1 and members:
            bag.error(
                "N241", span, f"the staff `{name}` has one part", "nothing to share",
                "name two parts or more; a part alone has a staff of its own",
            )
        return False
    drums = members[0].instrument.unpitched
    most = MOST_LINES if drums else MOST_PLAYERS
    if len(members) > most:
        bag.error(
            "N242", span, f"the staff `{name}` has {len(members)} parts", f"{most} at most can be read",
            "make two staves, as horns 1 and 2 and horns 3 and 4",
        )
        return False
    places = [order[member.name] for member in members]
    gap = next((forces for forces in pairwise(members) if order[forces[1].name] - order[forces[0].name] > 1), None)
    if gap is not None and places[-1] - places[0] >= len(places):
        bag.error(
            "N243", span, f"`{gap[0].name}` and `{gap[1].name}` stand apart on the page", "not neighbours",
            "put them next to each other under `forces`",
        )
        return False
    if staff.apart:
        return True
    other = next((m for m in members[1:] if not _read_alike(members[0].instrument, m.instrument)), None)
    if other is not None or len(members[0].instrument.staves) > 1:
        second = other or members[1]
        bag.error(
            "N244", span, f"`{members[0].name}` and `{second.name}` cannot share a staff",
            f"{members[0].instrument.key} and {second.instrument.key}",
            "parts on one staff are in one key, and each of them needs one staff only; give them staves of their own",
        )
        return False
    return True


def _read_alike(first: Instrument, second: Instrument) -> bool:
    """Whether two players can read one staff: in one key, both pitched or both not, neither on two staves."""
    return (
        first.transposition == second.transposition
        and first.unpitched == second.unpitched
        and len(second.staves) == 1
    )


def _names(members: list[BoundForce], forces: tuple[BoundForce, ...]) -> tuple[str, str]:
    """Both names of a staff: `Flutes I, II` and `Fl. I, II`; of different instruments their names one after another."""
    first = members[0]
    labels, shorts = [member.label for member in members], [member.abbreviation for member in members]
    if any(member.own_label or member.instrument != first.instrument for member in members):
        return ", ".join(labels), ", ".join(dict.fromkeys(shorts))
    name = printed_name(first.instrument, True, first.language)
    short = printed_abbreviation(first.instrument, first.language)
    units = {member.number.removesuffix(half(place)).strip() for place, member in enumerate(members, start=1)}
    if first.plural and first.number.endswith(half(1)) and len(units) == 1:
        number = units.pop()
    else:
        alike = [force for force in forces if force.instrument == first.instrument]
        number = _numbers([alike.index(member) + 1 for member in members])
    return numbered(name, number), numbered(short, number)


def _numbers(numbers: list[int]) -> str:
    """`I, II`; from three on `I–III`."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{roman(numbers[0])}–{roman(numbers[-1])}"
    return ", ".join(map(roman, numbers))
