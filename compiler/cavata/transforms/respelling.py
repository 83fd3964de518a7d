"""Lines respelled: every note by the name that its line and key give it; what sounds stays.

In: a line, or the lines of a texture, which are looked at together. Out: the same lines. A note whose name changed
remembers it; a chord symbol is named as its notes are.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from fractions import Fraction
from itertools import groupby

from cavata.music.event import Event, Head, Motif
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, writable
from cavata.music.spelling import spell
from cavata.record import record, replace
from cavata.transforms.pitches import joined_heads


def respelled_simply(motif: Motif, key: Mode | None = None) -> Motif:
    """Every note by the name that fits the line and its key; a key that is given is what the line begins in."""
    return respelled_together((motif,), key)[0]


def respelled_together(lines: tuple[Motif, ...], key: Mode | None = None) -> tuple[Motif, ...]:
    """Lines that sound together, spelled by the key that all of them are in."""
    notes = sorted((note for number, line in enumerate(lines) for note in _notes(number, line)), key=_moment)
    moments = [list(group) for _, group in groupby(notes, key=_moment)]
    named = spell([[(note.voice, note.pitch.midi) for note in moment] for moment in moments], key)
    names = {
        note.where: writable(pitch)
        for moment, pitches in zip(moments, named, strict=True)
        for note, pitch in zip(moment, pitches, strict=True)
    }
    return tuple(
        Motif(tuple(_renamed(event, (number, place), names) for place, event in enumerate(line.events)))
        for number, line in enumerate(lines)
    )


_Where = tuple[int, int, int, int]
"""A note: its line, its event, its grace chord (none: the number of them), and its place from low to high."""


@record
class _Note:
    onset: Fraction
    grace: int
    """What comes earlier at the same onset: a grace note before its note; the last is 0."""
    where: _Where
    voice: Hashable
    pitch: Pitch


def _moment(note: _Note) -> tuple[Fraction, int]:
    return note.onset, note.grace


def _notes(number: int, line: Motif) -> Iterator[_Note]:
    """The notes of a line; of chords the highest notes are one voice, the second highest another, and so on."""
    onset = Fraction(0)
    for place, event in enumerate(line.events):
        chords = (*event.marks.graces, event.heads)
        for grace, heads in enumerate(chords):
            for rank, head in enumerate(heads):
                where = (number, place, grace, rank)
                yield _Note(onset, grace + 1 - len(chords), where, (number, len(heads) - rank), head.pitch)
        onset += event.duration


def _renamed(event: Event, where: tuple[int, int], names: dict[_Where, Pitch]) -> Event:
    """The event with its notes, grace notes and symbol by their new names."""
    if not event.heads:
        return event

    def named(heads: tuple[Head, ...], grace: int) -> tuple[Head, ...]:
        pitches = (names[(*where, grace, rank)] for rank in range(len(heads)))
        return tuple(_named(head, pitch) for head, pitch in zip(heads, pitches, strict=True))

    graces = tuple(named(heads, number) for number, heads in enumerate(event.marks.graces))
    heads = named(event.heads, len(graces))
    symbol = event.marks.symbol
    if symbol is not None:
        known = {head.pitch.midi % 12: head.pitch.pitch_class for head in heads}
        symbol = symbol.renamed(lambda name: known.get(name.semitone, name))
    if graces or symbol != event.marks.symbol:
        event = replace(event, marks=replace(event.marks, graces=graces, symbol=symbol))
    return event.with_heads(joined_heads(list(heads)))


def _named(head: Head, pitch: Pitch) -> Head:
    if head.pitch == pitch:
        return head
    return Head(pitch, tuple(origin.inflected("respelled") for origin in head.origins))
