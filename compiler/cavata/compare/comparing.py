"""Two versions of a piece compared: what changed in the music.

In: two scores. Out: a comparison. First parts and movements are laid beside each other, then the bars of each movement,
then, part by part, the notes of those bars that are not the same. What the same happened to is one change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.compare.bars import AlignedBars, aligned
from cavata.compare.changes import OF_WHOLE_BARS, Change, ChangeKind, Comparison
from cavata.compare.forces import PairedParts, force_changes, matched_parts, piece_changes
from cavata.compare.frame import Versions, frame_changes, instrument_changes, letter_changes, section_changes
from cavata.compare.outputs import are_handed_out_alike, page_changes
from cavata.compare.passages import joined_places, merged, passage_changes
from cavata.compare.reading import ReadMovement, codes_for
from cavata.compare.telling import PartPassage
from cavata.compare.wholes import as_wholes
from cavata.score.clock import length
from cavata.score.score import Movement, Part, Score

_STILL_THE_SAME = 0.5
"""How much of its bars a movement shares at least with one of another name, to be told as renamed."""


def compared(old: Score, new: Score) -> Comparison:
    """What changed from one version to the other."""
    parts = matched_parts(old, new)
    codes = codes_for((old, new))
    names_old, names_new = parts.names(new)
    read_old = [ReadMovement(movement, names_old, codes) for movement in old.movements]
    read_new = [ReadMovement(movement, names_new, codes) for movement in new.movements]
    pairs = _matched_movements(read_old, read_new)
    changes = [*piece_changes(old, new), *force_changes(old, new, parts), *_movement_changes(read_old, read_new, pairs)]
    versions = [Versions(read_old[a], read_new[b], aligned(read_old[a], read_new[b])) for a, b in pairs]
    players = [(old.parts[a], new.parts[b]) for a, b in parts.pairs]
    for each in versions:
        changes += _inside(each, [part.name for part in new.parts], players)
    if not any(change.pairs for change in changes):
        for each in versions:
            changes += letter_changes(each)
    if are_handed_out_alike(old, new, changes):
        changes, in_script = [], changes
    else:
        changes, in_script = changes or list(page_changes(old, new)), []
    return Comparison(
        new.header.title, tuple(changes), _seconds(old), _seconds(new),
        tuple((movement.name, movement.title) for movement in new.movements),
        (*((group.name, group.parts) for group in new.groups), ("all parts", _common(parts, new))), tuple(in_script),
    )  # fmt: skip


def _common(parts: PairedParts, new: Score) -> tuple[str, ...]:
    return tuple(new.parts[b].name for _, b in parts.pairs) if len(parts.pairs) > 1 else ()


def _seconds(score: Score) -> Fraction:
    return sum((length(movement) for movement in score.movements), Fraction(0))


def _matched_movements(old: Sequence[ReadMovement], new: Sequence[ReadMovement]) -> list[tuple[int, int]]:
    """Movements of the same name, and of the others those that share their bars."""
    names = [read.movement.name for read in old]
    pairs = [(names.index(read.movement.name), b) for b, read in enumerate(new) if read.movement.name in names]
    free = [a for a in range(len(old)) if a not in {pair[0] for pair in pairs}]
    for b in (b for b in range(len(new)) if b not in {pair[1] for pair in pairs}):
        best = max(free, key=lambda a, b=b: (_shared(old[a], new[b]), -a), default=-1)  # type: ignore[misc]  # b is bound here
        if best >= 0 and _shared(old[best], new[b]) >= _STILL_THE_SAME:
            pairs.append((best, b))
            free.remove(best)
    return sorted(pairs, key=lambda pair: pair[1])


def _shared(old: ReadMovement, new: ReadMovement) -> float:
    same = Counter(old.prints) & Counter(new.prints)
    return 2 * same.total() / max(len(old.prints) + len(new.prints), 1)


def _movement_changes(
    old: Sequence[ReadMovement], new: Sequence[ReadMovement], pairs: Sequence[tuple[int, int]]
) -> Iterator[Change]:
    """Movements that are new, gone, moved, or called otherwise."""
    for a, b in pairs:
        was, now = old[a].movement, new[b].movement
        if was.name != now.name:
            yield Change(ChangeKind.MOVEMENT, f"was called {was.name}", now.name)
        if was.title != now.title:
            yield Change(ChangeKind.MOVEMENT, f"title {_title(now)} instead of {_title(was)}", now.name)
        if was.is_cadenza != now.is_cadenza:
            yield Change(ChangeKind.MOVEMENT, f"{_sort(now)} instead of {_sort(was)}", now.name)
        if was.attacca != now.attacca:
            yield Change(ChangeKind.MOVEMENT, f"{'now' if now.attacca else 'no longer'} attacca", now.name)
    kept_old, kept_new = {a for a, _ in pairs}, {b for _, b in pairs}
    for b, read in enumerate(new):
        if b not in kept_new:
            yield Change(ChangeKind.MOVEMENT, f"this {_sort(read.movement)} is new, {_size(read)}", read.movement.name)
    for a, read in enumerate(old):
        if a not in kept_old:
            yield Change(ChangeKind.MOVEMENT, f"this {_sort(read.movement)} is gone, {_size(read)}", read.movement.name)
    order = [a for a, _ in pairs]
    for a, b in pairs:
        if sorted(order).index(a) != order.index(a):
            yield Change(ChangeKind.MOVEMENT, f"moved: number {b + 1} instead of {a + 1}", new[b].movement.name)


def _title(movement: Movement) -> str:
    return f'"{movement.title}"' if movement.title else "none"


def _sort(movement: Movement) -> str:
    return "cadenza" if movement.is_cadenza else "movement"


def _size(read: ReadMovement) -> str:
    count = sum(len(row) for bar in read.bars for row in bar.values())
    return f"{len(read.bars)} bars with {count} notes"


def _inside(versions: Versions, order: Sequence[str], players: Sequence[tuple[Part, Part]]) -> list[Change]:
    """Everything that changed within a movement, in the order of the new version; parts in score order."""
    frame = [*section_changes(versions), *frame_changes(versions), *instrument_changes(versions, players)]
    notes = [change for passage in _passages(versions) for change in passage_changes(passage)]
    found = [*joined_places(frame), *merged(notes, versions.new, order)]
    return sorted(as_wholes(found, versions, [new for _, new in players]), key=_in_order)


def _in_order(change: Change) -> tuple[Fraction, bool]:
    place = change.places[0]
    return (place.here or place.first).onset, change.kind not in OF_WHOLE_BARS


def _passages(versions: Versions) -> Iterator[PartPassage]:
    """Stretches of bars in which a part is not the same. Bars in which it is silent in both versions part none."""
    old, new, blocks = versions.old, versions.new, versions.alignment.blocks
    parts = dict.fromkeys(part for read in (new, old) for bar in read.parts for part in bar)
    for part in parts:
        run: list[AlignedBars] = []
        for block in blocks:
            follows = run and run[-1].old[1] == block.old[0] and run[-1].new[1] == block.new[0]
            if run and not follows:
                yield from _passage(part, run, versions)
                run = []
            before = [read.get(part) for read in old.parts[slice(*block.old)]]
            now = [read.get(part) for read in new.parts[slice(*block.new)]]
            if before != now or (run and not any(before) and not any(now)):
                run.append(block)
            else:
                yield from _passage(part, run, versions)
                run = []
        yield from _passage(part, run, versions)


def _passage(part: str, run: Sequence[AlignedBars], versions: Versions) -> Iterator[PartPassage]:
    if run:
        bars_old, bars_new = (run[0].old[0], run[-1].old[1]), (run[0].new[0], run[-1].new[1])
        yield PartPassage(part, versions.old, versions.new, bars_old, bars_new)
