"""Which notes of a passage's old version are which of its new one.

In: the notes of one voice in both versions, and where the passage begins in each. Out: pairs in the order of the new
version; a note that is gone stands where it stood. There are two ways to pair: by the moment, as where a note was taken
out and left a rest; and by the order, as where what follows moved up. The caller takes the one that tells less.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.compare.align import Places, as_early_as_can_be, as_late_as_can_be, shortest
from cavata.compare.reading import Note

NotePair = tuple[Note | None, Note | None]

_MOST_LEFT_OVER = 300
"""Notes left over on either side, beyond which a passage is told as written anew."""


def by_moment(old: Sequence[Note], new: Sequence[Note], shift: int) -> list[NotePair]:
    """Notes that begin at the same moment; `shift` leads from the old version's ticks to the new one's."""
    pairs: list[NotePair] = []
    i = j = 0
    while i < len(old) or j < len(new):
        at = old[i].onset + shift if i < len(old) else None
        if at is not None and j < len(new) and new[j].onset == at:
            pairs.append((old[i], new[j]))
            i, j = i + 1, j + 1
        elif j >= len(new) or (at is not None and at < new[j].onset):
            pairs.append((old[i], None))
            i += 1
        else:
            pairs.append((None, new[j]))
            j += 1
    return _strays_paired(pairs)


def _strays_paired(pairs: list[NotePair]) -> list[NotePair]:
    """Notes left over that sound the same, paired in their order: they were moved."""
    gone = [(place, a) for place, (a, b) in enumerate(pairs) if a is not None and b is None]
    added = [(place, b) for place, (a, b) in enumerate(pairs) if b is not None and a is None]
    if not gone or not added:
        return pairs
    same = shortest([a.sound for _, a in gone], [b.sound for _, b in added], _MOST_LEFT_OVER)
    dropped: set[int] = set()
    result = list(pairs)
    for i, j in same or ():
        (from_place, was), (to_place, now) = gone[i], added[j]
        if was.length == now.length:
            result[to_place] = (was, now)
            dropped.add(from_place)
    return [pair for place, pair in enumerate(result) if place not in dropped]


def by_order(old: Sequence[Note], new: Sequence[Note]) -> list[list[NotePair]]:
    """Notes of the same pitches in the same order, whenever they begin; nothing if too many would be left over.

    Among repeated notes what is left over can stand earlier or later: there are two answers, one for each. As many
    notes between two pairs on either side belong together too: there the pitches changed.
    """
    a, b = [note.sound for note in old], [note.sound for note in new]
    same = shortest(a, b, _MOST_LEFT_OVER)
    if same is None:
        return []
    ways = [as_early_as_can_be(a, b, same), as_late_as_can_be(a, b, same)]
    return [_filled(old, new, way) for way in (ways if ways[0] != ways[1] else ways[:1])]


def _filled(old: Sequence[Note], new: Sequence[Note], same: Places) -> list[NotePair]:
    pairs: list[NotePair] = []
    i = j = 0
    for a, b in [*same, (len(old), len(new))]:
        if a - i == b - j:
            pairs += zip(old[i:a], new[j:b], strict=True)
        else:
            pairs += [(note, None) for note in old[i:a]]
            pairs += [(None, note) for note in new[j:b]]
        if a < len(old) and b < len(new):
            pairs.append((old[a], new[b]))
        i, j = a + 1, b + 1
    return pairs
