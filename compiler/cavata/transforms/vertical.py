"""Transforms between line and chord."""

from __future__ import annotations

from cavata.music.event import UNMARKED, Event, Head, Motif
from cavata.music.pitch import Interval
from cavata.music.refusal import Refusal
from cavata.transforms.limits import bounded
from cavata.transforms.pitches import checked, joined_heads
from cavata.transforms.symbols import symbol_kept


def as_chord(motif: Motif) -> Motif:
    """All notes of the line together, for the duration of its first note."""
    sounding = motif.sounding
    if not sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to sound together", "")
    heads = joined_heads([head for event in sounding for head in event.heads])
    return Motif((Event(sounding[0].duration, heads, sounding[0].marks),))


def broken(motif: Motif, direction: str) -> Motif:
    """Each chord as a line from its lowest note up, or from its highest down; each note as long as the chord."""
    events: list[Event] = []
    bounded(sum(max(1, len(event.heads)) for event in motif.events))
    for event in motif.events:
        heads = event.heads if direction != "down" else event.heads[::-1]
        for number, head in enumerate(heads):
            events.append(Event(event.duration, (head,), event.marks if number == 0 else UNMARKED))
        if not heads:
            events.append(event)
    return Motif(tuple(events))


def voiced(motif: Motif, how: str) -> Motif:
    """Each chord in close position above its lowest note, or in open: every second note an octave higher."""
    return Motif(tuple(_voiced(event, how) if event.is_chord else event for event in motif.events))


def _voiced(event: Event, how: str) -> Event:
    bass = event.heads[0]
    close = [bass]
    for head in event.heads[1:]:
        pitch = head.pitch
        while pitch.midi - 12 > bass.pitch.midi:
            pitch = pitch.shifted(-1)
        close.append(Head(pitch, head.origins))
    ordered = joined_heads(close)
    if how == "open":
        raised = [Head(checked(h.pitch.shifted(n % 2)), h.origins) for n, h in enumerate(ordered)]
        ordered = joined_heads(raised)
    return event.with_heads(ordered)


def doubled(motif: Motif, interval: Interval, side: str) -> Motif:
    """Every note together with another at that interval above or below it, from the same letter."""
    step = interval if side == "above" else -interval
    return Motif(
        tuple(
            symbol_kept(
                event, joined_heads([*event.heads, *(Head(h.pitch + step, h.origins) for h in event.heads)])
            )
            for event in motif.events
        )
    )
