"""Notes remember the steps they went through; rhythms borrow the steps of lines."""

from __future__ import annotations

from typing import TypeVar

from cavata.music.event import Beat, Event, Head, Motif, Rhythm, Texture
from cavata.music.pitch import Pitch

AnyMusic = TypeVar("AnyMusic", Motif, Texture, Rhythm, Motif | Texture | Rhythm)

_ANY_PITCH = Pitch(34, 0)


def remembering(value: AnyMusic, *steps: str) -> AnyMusic:
    """The same value, every note of which remembers further steps."""
    if not steps:
        return value
    match value:
        case Motif(events):
            return Motif(_stepped(events, steps))
        case Texture(lines):
            return value.with_lines(tuple(Motif(_stepped(line.events, steps)) for line in lines))
        case _:
            return value


def _stepped(events: tuple[Event, ...], steps: tuple[str, ...]) -> tuple[Event, ...]:
    """Events with the steps added; an event that comes several times stays one object."""
    known: dict[int, Event] = {}
    out = []
    for event in events:
        if not event.heads:
            out.append(event)
            continue
        found = known.get(id(event))
        if found is None:
            heads = tuple(Head(h.pitch, tuple(o.through(*steps) for o in h.origins)) for h in event.heads)
            found = Event(event.duration, heads, event.marks)
            if event.marks.graces:
                found = found.with_graces(lambda h: Head(h.pitch, tuple(o.through(*steps) for o in h.origins)))
            known[id(event)] = found
        out.append(found)
    return tuple(out)


def of_rhythm(rhythm: Rhythm) -> Motif:
    """A rhythm as a line on any pitch, so that steps of order and time can work on it."""
    return Motif(tuple(Event(b.duration, () if b.is_rest else (Head(_ANY_PITCH, b.origins),)) for b in rhythm.beats))


def to_rhythm(motif: Motif) -> Rhythm:
    """The rhythm of a line."""
    return Rhythm(tuple(Beat(e.duration, e.is_rest, e.heads[0].origins if e.heads else ()) for e in motif.events))
