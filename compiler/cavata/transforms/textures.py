"""Textures made of lines: a hocket, a held pedal, a figure that goes round under a line.

In: lines. Out: a texture, the leader first. Lines of a texture are equally long, so that repeats keep step.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.event import Event, Motif, Texture
from cavata.music.refusal import Refusal
from cavata.transforms.limits import bounded
from cavata.transforms.time import repeated_to


def hocket(lines: tuple[Motif, ...]) -> Texture:
    """Events of the lines in turn, each in its own voice; while one sounds the others rest.

    When one line runs out the others go on.
    """
    if any(not line.events for line in lines):
        raise Refusal("V209", "a line of the hocket has no note", "an empty line", "")
    longest = max(len(line.events) for line in lines)
    turns = [
        (voice, line.events[turn])
        for turn in range(longest)
        for voice, line in enumerate(lines)
        if turn < len(line.events)
    ]
    return _dealt(turns, len(lines))


def dealt_out(line: Motif, voices: int) -> Texture:
    """One line as a hocket: its events to the voices in turn, while the others rest."""
    if not line.events:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    return _dealt([(number % voices, event) for number, event in enumerate(line.events)], voices)


def _dealt(turns: list[tuple[int, Event]], voices: int) -> Texture:
    bounded(len(turns) * voices)
    lines: list[list[Event]] = [[] for _ in range(voices)]
    silent = [Fraction(0)] * voices
    for sounding, event in turns:
        for voice, line in enumerate(lines):
            if voice != sounding or not event.heads:
                silent[voice] += event.duration
                continue
            if silent[voice]:
                line.append(Event(silent[voice]))
                silent[voice] = Fraction(0)
            line.append(event)
    for voice, line in enumerate(lines):
        if silent[voice]:
            line.append(Event(silent[voice]))
    return Texture(tuple(Motif(tuple(line)) for line in lines))


def pedal(over: Texture, held: Motif) -> Texture:
    """The lines with a note or chord (a line of one event) held under them as long as they last."""
    return Texture((*over.lines, Motif((held.events[0].lasting(_length(over)),))))


def ostinato(over: Texture, figure: Motif) -> Texture:
    """The lines with a figure under them, again and again as long as they last."""
    if not figure.sounding:
        raise Refusal("V209", "the figure has no note", "an empty line", "")
    return Texture((*over.lines, repeated_to(figure, _length(over))))


def _length(over: Texture) -> Fraction:
    length = over.duration
    if length <= 0:
        raise Refusal("V209", "{subject} has no note", "an empty line", "")
    return length
