"""An errata list: what is to be corrected in copies that were printed from an older version, for a librarian.

In: a comparison, and on which page of the old and of the new copies each bar stands. Out: for the score and for each
part that a change concerns a table: page and bar in the old copy, page and bar in the new one, and what is otherwise.
What concerns the whole piece stands first. A bar that the old version does not have, or of which it is not told where
it was, and one that the new version has no longer, has a dash there; so has every page where nothing tells it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from cavata.compare.changes import Change, ChangeKind, Comparison, Extent
from cavata.compare.text import parts_text
from cavata.record import record
from cavata.text import text_table

BarPages = Mapping[tuple[str, int], int]
"""The page of each bar, by its movement and its printed number."""
_DASH = "\u2013"
_SHIFTS = frozenset((ChangeKind.BARS, ChangeKind.SECTION))
"""After these a bar may have another number than it had."""


@record
class PrintedCopy:
    """A copy as a librarian has it on the shelf."""

    name: str
    """As it is called on its first page; of the score `Full score`."""
    part: str
    """Its part by its name in the script; empty for the score."""
    old: BarPages
    new: BarPages


def concerned(comparison: Comparison, parts: Sequence[str]) -> tuple[str, ...]:
    """The parts that some change concerns, of those of the new version: all, where one is for everybody."""
    notes = [change for change in comparison.changes if change.movement]
    if any(not change.parts for change in notes):
        return tuple(parts)
    return tuple(part for part in parts if any(part in change.parts for change in notes))


def errata_text(comparison: Comparison, copies: Sequence[PrintedCopy], old: str, new: str) -> str:
    """The list; `old` and `new` say what is compared."""
    blocks = [f"Errata: {comparison.title}\nold: {old}\nnew: {new}\n"]
    everywhere = [_with_parts(change, comparison) for change in comparison.changes if not change.movement]
    if everywhere:
        blocks.append("The whole piece\n" + "".join(f"  {said}\n" for said in everywhere))
    for copy in copies:
        rows = list(_rows(comparison, copy))
        if rows:
            head = ("page", "bar", "new page", "new bar", "movement", "correction")
            blocks.append(f"{copy.name}\n\n{text_table(head, rows, frozenset(range(4)))}")
    return "\n".join(blocks)


def _rows(comparison: Comparison, copy: PrintedCopy) -> Iterator[tuple[str, ...]]:
    titles = dict(comparison.movements)
    shifted = {change.movement for change in comparison.changes if change.kind in _SHIFTS}
    for change in comparison.changes:
        if not change.movement or (copy.part and change.parts and copy.part not in change.parts):
            continue
        said = change.said if copy.part else _with_parts(change, comparison)
        for place in change.places or (None,):
            beat = f"{place.first.in_bar}: " if place is not None and not change.whole_bars else ""
            where = _places(change, place, copy, change.movement in shifted)
            yield (*where, titles.get(change.movement) or change.movement, beat + said)


def _with_parts(change: Change, comparison: Comparison) -> str:
    parts = parts_text(change.parts, comparison.groups)
    return f"{parts}: {change.said}" if parts else change.said


def _places(change: Change, place: Extent | None, copy: PrintedCopy, shifted: bool) -> tuple[str, str, str, str]:
    """Page and bar in the old copy, then in the new one."""
    if place is None:
        return _DASH, _DASH, _DASH, _DASH
    first, last = place.first.bar, place.last.bar
    if place.old:
        return _page(copy.old, change.movement, first), _bars(first, last), _DASH, _DASH
    was = _before(change, place, copy.part)
    if was is None and not shifted:  # as many bars come before it as did
        was = first
    before = (_DASH, _DASH) if was is None else (_page(copy.old, change.movement, was), str(was))
    return (*before, _page(copy.new, change.movement, first), _bars(first, last))


def _before(change: Change, place: Extent, part: str) -> int | None:
    """The bar of the old version in which the first note of a place stood."""
    here = [
        pair.old.spot.bar for pair in change.pairs
        if pair.old is not None and pair.new is not None and (not part or pair.part == part)
        and place.first.onset <= pair.new.spot.onset <= place.last.onset
    ]  # fmt: skip
    return min(here, default=None)


def _bars(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}{_DASH}{last}"


def _page(pages: BarPages, movement: str, bar: int) -> str:
    page = pages.get((movement, bar))
    return _DASH if page is None else str(page)
