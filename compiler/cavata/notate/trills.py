"""The wavy line of a trill over tied notes, from its sign to the end of the last of them.

In: a written staff. Out: the same, the leaf with the sign and the last that is tied to it saying where the line begins
and ends. It does not matter whether one event is tied over a bar line, or a note was divided so that a marking begins
in it. Source: common practice.
"""

from __future__ import annotations

from cavata.notate.written import Leaf, Tuplet, WrittenItem, WrittenStaff, leaves
from cavata.record import replace


def with_trill_lines(staff: WrittenStaff) -> WrittenStaff:
    """The staff with its lines."""
    ends: dict[int, str] = {}
    for voice in range(max((len(bar.voices) for bar in staff.bars), default=0)):
        begun: Leaf | None = None
        for bar in staff.bars:
            for leaf in leaves(bar.voices[voice] if voice < len(bar.voices) else ()):
                tied = any(head.tie_begins for head in leaf.heads)
                if begun is not None and leaf.heads and not tied:
                    ends[id(begun)], ends[id(leaf)] = "begins", "ends"
                    begun = None
                elif tied and any(ornament.kind == "trill" for ornament in leaf.marks.ornaments):
                    begun = leaf
    if not ends:
        return staff
    bars = tuple(replace(bar, voices=tuple(_lined(voice, ends) for voice in bar.voices)) for bar in staff.bars)
    return replace(staff, bars=bars)


def _lined(items: tuple[WrittenItem, ...], ends: dict[int, str]) -> tuple[WrittenItem, ...]:
    return tuple(
        replace(item, items=_lined(item.items, ends)) if isinstance(item, Tuplet)
        else replace(item, trill=ends[id(item)]) if id(item) in ends else item
        for item in items
    )  # fmt: skip
