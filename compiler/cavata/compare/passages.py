"""What changed in one part's passage, in the fewest words.

In: a passage in both versions, voice by voice. Out: its changes, in the order of the new version.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence

from cavata.compare.changes import Change, ChangeKind, Extent
from cavata.compare.notes import by_moment, by_order, interval_words, reversed_stretch
from cavata.compare.reading import ReadMovement, ReadNote
from cavata.compare.telling import PartPassage, Teller
from cavata.record import replace
from cavata.score.score import ossia_of

_STAVES = {"": "upper", "right": "upper", "middle": "middle", "left": "lower", "pedal": "pedal"}
_STAVES |= {ossia_of(staff): f"{name if staff else ''} ossia".lstrip() for staff, name in _STAVES.items()}
"""How the staves of a part are called, in the order of the page; then the small ones above them."""
OSSIAS = frozenset(map(ossia_of, ("", "right", "middle", "left", "pedal")))
_IN_OSSIA = ", in the ossia"
_PLAIN = 1.5
"""So much is one change, or one note: nothing could tell it better."""


def passage_changes(passage: PartPassage) -> list[Change]:
    """Everything that changed in it."""
    old = passage.old.notes(passage.part, *passage.old_bars)
    new = passage.new.notes(passage.part, *passage.new_bars)
    found: list[Change] = []
    for was, now in _lanes(old, new):
        teller = Teller(passage)
        if was != now:
            found.append(teller.said(ChangeKind.STAFF, _elsewhere(now), list(zip(old[was], new[now], strict=True))))
        changes = _voice_changes(teller, old.get(was, []), new.get(now, []))
        if now[0] in OSSIAS:
            changes = [replace(change, said=change.said + _IN_OSSIA) for change in changes]
        found += changes
    return found


def _lanes(
    old: dict[tuple[str, int], list[ReadNote]], new: dict[tuple[str, int], list[ReadNote]]
) -> Iterator[tuple[tuple[str, int], tuple[str, int]]]:
    """Which voice is which: the same one, or one that only one version has and that begins its notes alike."""
    gone = [lane for lane in old if lane not in new]
    for lane in sorted({*old, *new}, key=lambda lane: (tuple(_STAVES).index(lane[0]), lane[1])):
        if lane in old and lane in new:
            yield lane, lane
        elif lane in new:
            rhythm = _rhythm(new[lane])
            same = next((a for a in gone if _rhythm(old[a]) == rhythm), None)
            if same is not None:
                gone.remove(same)
            yield same or lane, lane
    yield from ((lane, lane) for lane in gone)


def _rhythm(notes: Sequence[ReadNote]) -> list[tuple[int, int]]:
    return [(note.onset - notes[0].onset, note.length) for note in notes]


def _elsewhere(lane: tuple[str, int]) -> str:
    staff, voice = lane
    return f"now on the {_STAVES[staff]} staff" + (", in the second voice" if voice else "")


def _voice_changes(teller: Teller, old: list[ReadNote], new: list[ReadNote]) -> list[Change]:
    turned = reversed_stretch(old, new)
    if turned is not None:
        return [teller.stretch(turned), *teller.marks(turned.pairs)]
    told = teller.told(by_moment(old, new, teller.passage.shift))
    if _weight(told) > _PLAIN or (old and new and not teller.passage.measured_alike):
        told = min([told, *(teller.told(pairs) for pairs in by_order(old, new))], key=_weight)
    return told


def _weight(changes: Iterable[Change]) -> float:
    """How much is to be told: each change, and each note that is named in it by itself."""
    single = (ChangeKind.NEW, ChangeKind.GONE, ChangeKind.REWRITTEN, ChangeKind.PITCH)
    return sum(1 + (len(change.pairs) / 2 if change.kind in single else 0) for change in changes)


# ----------------------------------------------------------------
# Changes that are one: the same in several parts, or in several places.
#
# In: the changes of a movement's passages. Out: fewer changes, none lost.


_AS_A_WHOLE = frozenset((ChangeKind.TRANSPOSED, ChangeKind.MOVED, ChangeKind.LENGTH))
"""What can happen to a whole texture."""


def merged(changes: Sequence[Change], new: ReadMovement, order: Sequence[str]) -> list[Change]:
    """Merge the same change of several parts, then of several places; the parts in the order given."""
    single = [(change, passage) for change in changes if (passage := as_passage(change)) is not None]
    whole = [change for change in changes if change.kind in _AS_A_WHOLE and change.whole_bars]
    textures = _textures([*whole, *(passage for _, passage in single)], new)
    taken = {id(change) for change in whole} | {id(change) for change, _ in single}
    rest = [change for change in changes if id(change) not in taken]
    rest += [change for change, passage in single if any(passage is each for each in textures)]
    textures = [change for change in textures if not any(change is passage for _, passage in single)]
    in_parts = _joined([*textures, *rest], lambda change: (change.kind, change.said, change.places, change.whole_bars))
    in_order = [replace(change, parts=tuple(sorted(change.parts, key=order.index))) for change in in_parts]
    return joined_places(in_order)


def as_passage(change: Change) -> Change | None:
    """One note of another pitch as a passage that was transposed, in case that other parts were so with it."""
    if change.kind is not ChangeKind.PITCH or len(change.pairs) != 1 or change.said.endswith(_IN_OSSIA):
        return None
    (pair,) = change.pairs
    if pair.old is None or pair.new is None or len(pair.old.pitches) != 1 or len(pair.new.pitches) != 1:
        return None
    interval = pair.new.pitches[0] - pair.old.pitches[0]
    return replace(change, kind=ChangeKind.TRANSPOSED, said=interval_words(interval), whole_bars=True)


def joined_places(changes: Sequence[Change]) -> list[Change]:
    """The same that happened in several places is one change."""
    return _joined(changes, lambda change: (change.kind, change.said, change.parts, change.whole_bars, _old(change)))


def _old(change: Change) -> bool:
    return any(place.old for place in change.places)


def _joined(changes: Iterable[Change], key: Callable[[Change], Hashable]) -> list[Change]:
    """Changes with one key as one, with all their parts and places."""
    found: dict[Hashable, Change] = {}
    for change in changes:
        first = found.get(key(change))
        found[key(change)] = change if first is None else _both(first, change)
    return list(found.values())


def _both(one: Change, other: Change) -> Change:
    return replace(
        one,
        parts=tuple(dict.fromkeys((*one.parts, *other.parts))),
        places=tuple(sorted({*one.places, *other.places}, key=lambda place: (place.first.onset, place.last.onset))),
        pairs=one.pairs + other.pairs,
    )


def _textures(changes: Sequence[Change], new: ReadMovement) -> list[Change]:
    """The same that happened to several parts in bars that overlap is one change of all those bars.

    Only if it happened to every note that these parts have there; else it would say too much.
    """
    said: dict[tuple[ChangeKind, str], list[Change]] = {}
    for change in changes:
        said.setdefault((change.kind, change.said), []).append(change)
    found: list[Change] = []
    for alike in said.values():
        alike.sort(key=lambda change: change.places[0].first.onset)
        group = [alike[0]]
        for change in alike[1:]:
            if _touches(group, change) and _is_whole([*group, change], new):
                group.append(change)
            else:
                found += _as_one(group)
                group = [change]
        found += _as_one(group)
    return found


def _hull(changes: Sequence[Change]) -> Extent:
    places = [place for change in changes for place in change.places]
    return Extent(
        min((place.first for place in places), key=lambda spot: spot.onset),
        max((place.last for place in places), key=lambda spot: spot.onset),
    )


def _touches(group: Sequence[Change], change: Change) -> bool:
    """Whether the bars of a change overlap those of the group, or follow at once."""
    return change.places[0].first.bar <= _hull(group).last.bar + 1


def _is_whole(changes: Sequence[Change], new: ReadMovement) -> bool:
    """Whether the parts of the changes have no other notes between the first and the last of them."""
    hull = _hull(changes)
    parts = {part for change in changes for part in change.parts}
    changed = sum(len(change.pairs) for change in changes)
    begin, end = (new.codes.ticks(spot.onset) for spot in (hull.first, hull.last))
    there = sum(
        1
        for number, bar in enumerate(new.bars) if new.ends[number] > begin and new.begins[number] <= end
        for (part, _, _), notes in bar.items() if part in parts
        for note in notes if begin <= note.onset <= end
    )  # fmt: skip
    return there == changed


def _as_one(group: Sequence[Change]) -> list[Change]:
    if len(group) == 1:
        return list(group)
    whole = group[0]
    for change in group[1:]:
        whole = _both(whole, change)
    return [replace(whole, places=(_hull(group),))]
