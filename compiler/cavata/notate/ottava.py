"""Passages that are written an octave nearer to the staff, under `8va`, where they would hang on many ledger lines.

In: a written staff and its instrument. Out: the same staff; the first leaf of such a passage, and the first after it,
say so. Pitches stay as they are; only their place on the staff moves. Winds, brass and singers read ledger lines and
get none. Source of the custom: common practice; how long and how high is this project's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.instruments.instrument import Instrument
from cavata.notate.clefs import bottom_line
from cavata.notate.written import Item, Leaf, Tuplet, WrittenStaff, leaves
from cavata.record import replace

_HIGH, _LOW = frozenset(("keyboard", "plucked", "strings", "percussion")), frozenset(("keyboard",))
"""Families whose players read `8va` above the treble clef, and `8vb` below the bass clef."""
_BORNE = 2
"""So many ledger lines are nothing to mind: a passage begins and ends with notes that need more, and holds no other."""
_LEAST_NOTES, _LEAST_WEIGHT = 4, 10
"""So many notes, and so many ledger lines beyond those, all notes together."""


def with_ottavas(staff: WrittenStaff, instrument: Instrument) -> WrittenStaff:
    """The staff with its passages under `8va`; a staff of two voices has none."""
    sides = [side for side, families in ((1, _HIGH), (-1, _LOW)) if instrument.family in families]
    if not sides or instrument.unpitched or any(len(bar.voices) > 1 for bar in staff.bars):
        return staff
    line = [leaf for bar in staff.bars for voice in bar.voices for leaf in leaves(voice)]
    turns: dict[int, int] = {}
    for side in sides:
        for first, after in _passages(_ledgers(line, staff.clef, side)):
            turns[first], turns[after] = side, turns.get(after, 0)
    if not turns:
        return staff
    count = iter(range(len(line)))
    bars = tuple(
        replace(bar, voices=tuple(_turned(voice, count, turns) for voice in bar.voices)) for bar in staff.bars
    )
    return replace(staff, bars=bars)


def _ledgers(line: list[Leaf], clef: str, side: int) -> Iterator[int | None]:
    """For each leaf the ledger lines of its note nearest the staff, above or below; None for a rest."""
    usual = "treble" if side > 0 else "bass"
    for leaf in line:
        clef = leaf.clef or clef
        if not leaf.heads:
            yield -1 if leaf.whole_bar else None
        elif clef != usual:
            yield 0
        else:
            bottom = bottom_line(clef)
            near = leaf.heads[0 if side > 0 else -1].pitch.position
            yield max(0, (near - bottom - 8) // 2 if side > 0 else (bottom - near) // 2)


def _passages(ledgers: Iterator[int | None]) -> Iterator[tuple[int, int]]:
    """From the first leaf of each passage to the one after its last note."""
    first, last, notes, weight = -1, -1, 0, 0
    for place, lines in enumerate((*ledgers, -1)):
        if lines is None:
            continue
        if lines > _BORNE:
            first = place if first < 0 else first
            last, notes, weight = place, notes + 1, weight + lines - _BORNE
        if lines >= _BORNE:
            continue
        if notes >= _LEAST_NOTES and weight >= _LEAST_WEIGHT:
            yield first, last + 1
        first, notes, weight = -1, 0, 0


def _turned(items: tuple[Item, ...], count: Iterator[int], turns: dict[int, int]) -> tuple[Item, ...]:
    made: list[Item] = []
    for item in items:
        if isinstance(item, Tuplet):
            made.append(replace(item, items=_turned(item.items, count, turns)))
            continue
        place = next(count)
        made.append(replace(item, ottava=turns[place]) if place in turns else item)
    return tuple(made)
