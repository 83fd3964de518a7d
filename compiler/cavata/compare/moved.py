"""What was moved as a whole: a movement, every note where it was and most by one interval; a note with all it has.

In: two readings of a movement. Out: whether it is so. Its bars then lie beside each other as they stand, though none
has the content that it had, and some may have by chance what others had.
"""

from __future__ import annotations

from collections import Counter

from cavata.compare.reading import ReadMovement, ReadNote
from cavata.music.event import Event
from cavata.music.pitch import Interval, readable
from cavata.record import replace

MOST = 0.5
"""The share of the notes in the lanes that changed that went by one interval."""


def is_moved_as_a_whole(old: ReadMovement, new: ReadMovement) -> bool:
    """Whether all notes begin and end where they did, and most of those that changed are higher or lower alike."""
    if old.begins != new.begins or old.ends != new.ends:
        return False
    moves: Counter[tuple[int, int]] = Counter()
    for before, after in zip(old.bars, new.bars, strict=True):
        if before.keys() != after.keys():
            return False
        for lane, notes in after.items():
            was = before[lane]
            if [(note.onset, note.length) for note in was] != [(note.onset, note.length) for note in notes]:
                return False
            if [note.sound for note in was] != [note.sound for note in notes]:
                for a, b in zip(was, notes, strict=True):
                    one, other = a.event.heads[0].pitch, b.event.heads[0].pitch
                    moves[other.position - one.position, other.midi - one.midi] += 1
    if not moves:
        return False
    move, count = moves.most_common(1)[0]
    return move != (0, 0) and count > MOST * moves.total()


def went_along(old: ReadNote, new: ReadNote) -> bool:
    """Whether all that is written at a note of another pitch only went with it: grace notes and a chord symbol."""
    return len(old.events) == len(new.events) and all(
        _moved_alike(one.event, other.event) for one, other in zip(old.events, new.events, strict=True)
    )


def _moved_alike(old: Event, new: Event) -> bool:
    before, after = old.marks, new.marks
    if len(old.heads) != len(new.heads) or replace(before, graces=(), symbol=None) != replace(
        after, graces=(), symbol=None
    ):
        return False
    moves = {b.pitch - a.pitch for a, b in zip(old.heads, new.heads, strict=True)}
    if len(moves) != 1 or moves == {Interval(0, 0)}:
        return False
    (move,) = moves
    graces = tuple(tuple(readable(head.pitch.exactly(move)) for head in grace) for grace in before.graces)
    symbol = None if before.symbol is None else before.symbol.moved(Interval(move.steps % 7, move.semitones % 12))
    return symbol == after.symbol and graces == tuple(tuple(head.pitch for head in grace) for grace in after.graces)
