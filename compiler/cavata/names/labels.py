"""The printed names of the parts, and the order in which custom sets them.

In: the forces as bound, in the order of the script. Out: each with its name before the first and before later systems.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from cavata.instruments.language import Language
from cavata.instruments.printed import numbered, printed_abbreviation, printed_name
from cavata.names.numerals import roman
from cavata.names.program import BoundForce
from cavata.record import replace
from cavata.syntax import tree as t


def labelled(forces: list[BoundForce], language: Language, shares: Mapping[str, str]) -> list[BoundForce]:
    """Printed names: the composer's own, else the instrument's, numbered where it comes more than once.

    A section that is divided on one staff has one number, its halves a letter each: `Violins I a`.
    """
    printed = [f.label or printed_name(f.instrument, f.plural, language) for f in forces]
    short = [f.abbreviation or f.label or printed_abbreviation(f.instrument, language) for f in forces]
    staves = [shares.get(f.name, "") if f.plural else "" for f in forces]
    together = Counter(zip(printed, staves, strict=True))
    units = [
        staff if staff and together[label, staff] > 1 else force.name
        for label, staff, force in zip(printed, staves, forces, strict=True)
    ]
    alike: dict[str, list[str]] = {}
    for label, unit, force in zip(printed, units, forces, strict=True):
        if not force.label and unit not in alike.setdefault(label, []):
            alike[label].append(unit)
    seen: Counter[str] = Counter()
    found = []
    for label, abbreviation, unit, force in zip(printed, short, units, forces, strict=True):
        number = ""
        if not force.label:
            count = [roman(alike[label].index(unit) + 1)] if len(alike[label]) > 1 else []
            seen[unit] += 1
            number = " ".join([*count, *([half(seen[unit])] if unit != force.name else [])])
            label, abbreviation = numbered(label, number), numbered(abbreviation, number)
        found.append(replace(force, label=label, abbreviation=abbreviation, number=number))
    return found


def half(place: int) -> str:
    """How a division of a section is called: `a`, `b`, counted from 1."""
    return chr(ord("a") + place - 1)


def sharing(main: t.Module) -> Mapping[str, str]:
    """For each part that a staff names, that staff."""
    return {
        word.text: staff.name.text for staff in main.declarations if isinstance(staff, t.SharedStaff)
        for word in staff.parts
    }  # fmt: skip


def in_score_order(forces: list[BoundForce], shares: Mapping[str, str]) -> list[BoundForce]:
    """As the families stand on the page: singers above the strings, a soloist just above those he is heard with.

    Players of one instrument keep their order, and those that share a staff stand together where the highest of them
    belongs. Source: common practice.
    """
    staves: dict[str, list[tuple[int, int, int]]] = {}
    for listed, force in enumerate(forces):
        staves.setdefault(shares.get(force.name, force.name), []).append((*_customary_place(force), listed))
    highest = {name: min(places) for name, places in staves.items()}
    return sorted(forces, key=lambda force: highest[shares.get(force.name, force.name)])


def _customary_place(force: BoundForce) -> tuple[int, int]:
    family = force.instrument.family
    if force.soloist:
        return (1 if family == "voice" else 3), force.instrument.order
    return {"voice": 2, "strings": 4}.get(family, 0), force.instrument.order
