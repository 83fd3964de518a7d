"""Which staves a part has in a document.

In: a written movement. Out: the same with the small staves of its ossias among those of each part, so that they are
numbered as they stand; and for a document of the whole piece with every staff that a part has in any movement.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.notate.written import WrittenBar, WrittenMovement, WrittenPart, WrittenScore, WrittenStaff
from cavata.record import replace

StaffName = tuple[str, bool]
"""What an instrument calls a staff, and whether it is the small one above that."""
Staves = tuple[tuple[StaffName, ...], ...]
"""The staves of every part, from the top."""


def staves_of(movement: WrittenMovement) -> Staves:
    """Those of a movement, with the small ones of its ossias."""
    return tuple(tuple(_names(part)) for part in movement.parts)


def staves_in_all(score: WrittenScore) -> Staves:
    """Those that the parts have in any movement."""
    found = []
    for number in range(len(score.movements[0].parts)):
        parts = [movement.parts[number] for movement in score.movements]
        known = {name for part in parts for name in _names(part)}
        longest = max(parts, key=lambda part: len(part.staves))
        order = ((name, small) for name in _own_names(longest) for small in (True, False))
        found.append(tuple(name for name in order if name in known))
    return tuple(found)


def with_staves(movement: WrittenMovement, wanted: Staves | None = None) -> WrittenMovement:
    """The movement with the small staves of its ossias, or with just the staves that are `wanted`; those that it does
    not have are silent."""
    wanted = staves_of(movement) if wanted is None else wanted
    parts = tuple(
        part if len(names) == len(part.staves) else replace(part, staves=tuple(_staves(part, names)))
        for part, names in zip(movement.parts, wanted, strict=True)
    )
    unchanged = all(part is before for part, before in zip(parts, movement.parts, strict=True))
    return movement if unchanged else replace(movement, parts=parts)


def _own_names(part: WrittenPart) -> tuple[str, ...]:
    return part.part.instrument.standing(len(part.staves)) if len(part.staves) > 1 else ("",)


def _names(part: WrittenPart) -> Iterator[StaffName]:
    for name, staff in zip(_own_names(part), part.staves, strict=True):
        if staff.has_ossia:
            yield name, True
        yield name, False


def _staves(part: WrittenPart, names: tuple[StaffName, ...]) -> Iterator[WrittenStaff]:
    own = dict(zip(_own_names(part), part.staves, strict=True))
    for name, small in names:
        staff = own.get(name) or _silent_staff(part, name)
        yield staff.as_ossia if small else staff


def _silent_staff(part: WrittenPart, name: str) -> WrittenStaff:
    """A staff that is there only in other movements."""
    instrument = part.part.instrument
    bars = (WrittenBar(((),), bar.key, rest_bars=bar.rest_bars) for bar in part.staves[0].bars)
    clef = instrument.clefs[min(instrument.staves.index(name), len(instrument.clefs) - 1)]
    return WrittenStaff(clef, tuple(bars))
