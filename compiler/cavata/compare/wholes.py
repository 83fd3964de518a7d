"""What happened to every part of a movement is one change: all moved by one interval.

In: the changes within a movement. Out: the same, where one says what several said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from cavata.compare.changes import Change, ChangeKind
from cavata.compare.frame import Versions, bars_place
from cavata.compare.passages import OSSIAS, as_passage
from cavata.music.mode import Mode
from cavata.music.pitch import Interval, Pitch
from cavata.score.score import Part


def as_wholes(changes: Sequence[Change], versions: Versions, parts: Sequence[Part]) -> list[Change]:
    """The changes; parts of which every note was moved alike are one, and if they are all, their keys with them."""
    there, sounds = _notes_of(versions)
    moved: dict[str, list[Change]] = {}
    for change in changes:
        passage = change if change.kind is ChangeKind.TRANSPOSED else as_passage(change)
        if passage is not None:
            moved.setdefault(passage.said, []).append(change)
    for said, alike in moved.items():
        counted = Counter(pair.part for change in alike for pair in change.pairs)
        whole = [part.name for part in parts if counted[part.name] and counted[part.name] == there[part.name]]
        its_own = [change for change in alike if all(pair.part in whole for pair in change.pairs)]
        pitched = {part.name for part in parts if not part.instrument.unpitched and sounds[part.name]}
        keys = _keys_with(changes, its_own, versions) if whole and pitched <= set(whole) else []
        if keys or (len(whole) > 1 and len(its_own) > 1):
            gone = {id(change) for change in (*its_own, *keys)}
            words = f"everything {said}, keys too" if keys else said
            one = _as_one(its_own, words, () if keys else whole, versions)
            return [*(change for change in changes if id(change) not in gone), one]
    return list(changes)


def _as_one(alike: Sequence[Change], said: str, parts: Sequence[str], versions: Versions) -> Change:
    pairs = tuple(pair for change in alike for pair in change.pairs)
    place = bars_place(versions.new, 0, len(versions.new.begins) - 1)
    return Change(ChangeKind.TRANSPOSED, said, versions.name, tuple(parts), (place,), True, pairs)


def _keys_with(changes: Sequence[Change], alike: Sequence[Change], versions: Versions) -> list[Change]:
    """The changes of key, if they are what the interval makes of the keys."""
    pair = alike[0].pairs[0]
    if pair.old is None or pair.new is None:
        return []
    follow = _keys_follow(versions, pair.new.pitches[0] - pair.old.pitches[0])
    return [change for change in changes if change.kind is ChangeKind.KEY] if follow else []


def _notes_of(versions: Versions) -> tuple[Counter[str], Counter[str]]:
    """How many notes each part has, if it has as many as before; and how many whether or not."""
    counts = []
    for read in (versions.old, versions.new):
        count: Counter[str] = Counter()
        for bar in read.bars:
            for (part, staff, _), row in bar.items():
                count[part] += len(row) if staff not in OSSIAS else 0
        counts.append(count)
    return Counter({part: count for part, count in counts[1].items() if counts[0][part] == count}), counts[1]


def _keys_follow(versions: Versions, interval: Interval) -> bool:
    """Whether every key is the old one, moved by the interval."""
    for block in versions.by_bars:
        old, new = versions.old.movement.bars[block.old[0]].key, versions.new.movement.bars[block.new[0]].key
        if (old is None) != (new is None) or (old is not None and new != _moved(old, interval)):
            return False
    return True


def _moved(key: Mode, interval: Interval) -> Mode:
    return key.over((Pitch.of(key.tonic, 4) + interval).pitch_class)
