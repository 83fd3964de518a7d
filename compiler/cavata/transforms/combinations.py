"""Combinations: several values made into one."""

from __future__ import annotations

from cavata.music.event import Event, Motif, Texture
from cavata.music.refusal import Refusal
from cavata.transforms.limits import bounded


def weave(lines: tuple[Motif, ...], cycle: bool) -> Motif:
    """Events in turn as they stand. When one line runs out the others go on; with `cycle` it begins again
    until the longest is done."""
    if any(not line.events for line in lines):
        raise Refusal("V209", "a line to be woven has no note", "an empty line", "")
    longest = max(len(line.events) for line in lines)
    bounded(longest * len(lines))
    events: list[Event] = []
    for turn in range(longest):
        for line in lines:
            if cycle or turn < len(line.events):
                events.append(line.events[turn % len(line.events)])
    return Motif(tuple(events))


def together(values: tuple[Motif | Texture, ...]) -> Texture:
    """Lines that begin together, in their own order, the leader first."""
    lines: list[Motif] = []
    waits: list[tuple[int, ...]] = []
    for value in values:
        added = value.lines if isinstance(value, Texture) else (value,)
        lines += added
        waits += value.waits if isinstance(value, Texture) and value.waits else ((),) * len(added)
    return Texture(tuple(lines), tuple(waits) if any(waits) else ())
