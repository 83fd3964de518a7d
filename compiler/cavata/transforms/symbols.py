"""Chord symbols when their notes move: transposed with them, or taken away where they would no longer be true.

In: an event under a chord symbol, and what happens to its pitches. Out: the event with the symbol that fits them.
"""

from __future__ import annotations

from collections.abc import Callable

from cavata.music.event import Event, Head
from cavata.music.pitch import Interval, Pitch
from cavata.record import replace


def symbol_moved(event: Event, change: Callable[[Pitch], Pitch]) -> Event:
    """The event before its pitches change, its symbol moved as they will be: all by one interval, octaves aside."""
    if event.marks.symbol is None:
        return event
    moves = {change(head.pitch) - head.pitch for head in event.heads}
    classes = {Interval(move.steps % 7, move.semitones % 12) for move in moves}
    if len(classes) != 1:
        return without_symbol(event)
    move = classes.pop()
    symbol = event.marks.symbol if move == Interval(0, 0) else event.marks.symbol.moved(move)
    return replace(event, marks=replace(event.marks, symbol=symbol))


def symbol_kept(event: Event, heads: tuple[Head, ...]) -> Event:
    """The event with other heads, and with its symbol if they sound as before."""
    return (event if _keys(event.heads) == _keys(heads) else without_symbol(event)).with_heads(heads)


def without_symbol(event: Event) -> Event:
    """The event without a chord symbol."""
    return event if event.marks.symbol is None else replace(event, marks=replace(event.marks, symbol=None))


def _keys(heads: tuple[Head, ...]) -> set[int]:
    return {head.pitch.midi % 12 for head in heads}
