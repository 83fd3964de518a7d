"""What changed in one part's passage, in the fewest words.

In: a passage in both versions, voice by voice. Out: its changes, in the order of the new version.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from cavata.compare.changes import Change, Kind
from cavata.compare.notes import by_moment, by_order
from cavata.compare.pitches import reversed_stretch
from cavata.compare.reading import Note
from cavata.compare.telling import Passage, Teller

_PLAIN = 1.5
"""So much is one change, or one note: nothing could tell it better."""


def passage_changes(passage: Passage) -> list[Change]:
    """Everything that changed in it."""
    old = passage.old.notes(passage.part, *passage.old_bars)
    new = passage.new.notes(passage.part, *passage.new_bars)
    found: list[Change] = []
    for was, now in _lanes(old, new):
        teller = Teller(passage)
        if was != now:
            found.append(teller.said(Kind.STAFF, _elsewhere(now), list(zip(old[was], new[now], strict=True))))
        found += _voice_changes(teller, old.get(was, []), new.get(now, []))
    return found


def _lanes(
    old: dict[tuple[int, int], list[Note]], new: dict[tuple[int, int], list[Note]]
) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Which voice is which: the same one, or one that only one version has and that begins its notes alike."""
    gone = [lane for lane in old if lane not in new]
    for lane in sorted({*old, *new}):
        if lane in old and lane in new:
            yield lane, lane
        elif lane in new:
            rhythm = _rhythm(new[lane])
            same = next((a for a in gone if _rhythm(old[a]) == rhythm), None)
            if same is not None:
                gone.remove(same)
            yield same or lane, lane
    yield from ((lane, lane) for lane in gone)


def _rhythm(notes: Sequence[Note]) -> list[tuple[int, int]]:
    return [(note.onset - notes[0].onset, note.length) for note in notes]


def _elsewhere(lane: tuple[int, int]) -> str:
    staff, voice = lane
    return f"now on the {('upper', 'lower')[min(staff, 1)]} staff" + (", in the second voice" if voice else "")


def _voice_changes(teller: Teller, old: list[Note], new: list[Note]) -> list[Change]:
    turned = reversed_stretch(old, new)
    if turned is not None:
        return [teller.stretch(turned), *teller.marks(turned.pairs)]
    told = teller.told(by_moment(old, new, teller.passage.shift))
    if _weight(told) > _PLAIN or (old and new and not teller.passage.measured_alike):
        told = min([told, *(teller.told(pairs) for pairs in by_order(old, new))], key=_weight)
    return told


def _weight(changes: Iterable[Change]) -> float:
    """How much is to be told: each change, and each note that is named in it by itself."""
    single = (Kind.NEW, Kind.GONE, Kind.REWRITTEN, Kind.PITCH)
    return sum(1 + (len(change.pairs) / 2 if change.kind in single else 0) for change in changes)
