"""What changed in the piece as a whole: its title page, and who plays.

In: two scores. Out: which part of the old one is which of the new one, and changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from cavata.compare.changes import Change, ChangeKind
from cavata.names.paper import Paper
from cavata.record import record
from cavata.score.score import Header, Part, Score, events_of

_STILL_THE_SAME = 0.5
"""How much of its music a part shares at least with one of another name, to be told as renamed."""
_WORDS = {
    "shortest": "shortest length asked for, in minutes", "longest": "longest length asked for, in minutes",
    "concert_score": "concert score", "show_letters": "show letters",
}  # fmt: skip
_FOR_READERS = frozenset(("proof", "kind", "reader"))
"""Facts of a copy, not of the piece."""


@record
class Parts:
    """Which part is which, by places in the scores."""

    pairs: tuple[tuple[int, int], ...]
    gone: tuple[int, ...]
    added: tuple[int, ...]

    def names(self, new: Score) -> tuple[dict[int, str], dict[int, str]]:
        """The parts that both versions have, by their places in either, under their new names."""
        return (
            {a: new.parts[b].name for a, b in self.pairs},
            {b: new.parts[b].name for _, b in self.pairs},
        )


def matched_parts(old: Score, new: Score) -> Parts:
    """Parts of the same name, and of the others those that share their music or, silent, their instrument."""
    names = [part.name for part in old.parts]
    pairs = [(names.index(part.name), b) for b, part in enumerate(new.parts) if part.name in names]
    free_old = [a for a in range(len(names)) if a not in {pair[0] for pair in pairs}]
    free_new = [b for b in range(len(new.parts)) if b not in {pair[1] for pair in pairs}]
    for b in list(free_new):
        best = max(free_old, key=lambda a, b=b: (_shared(old, a, new, b), -a), default=-1)  # type: ignore[misc]  # b is bound here
        if best >= 0 and _shared(old, best, new, b) >= _STILL_THE_SAME:
            pairs.append((best, b))
            free_old.remove(best)
            free_new.remove(b)
    return Parts(tuple(sorted(pairs, key=lambda pair: pair[1])), tuple(free_old), tuple(free_new))


def _shared(old: Score, a: int, new: Score, b: int) -> float:
    """The share of notes that both parts have; two silent parts share all if their instrument is one."""
    one, other = _music(old, a), _music(new, b)
    if not one and not other:
        return float(old.parts[a].instrument.key == new.parts[b].instrument.key)
    return 2 * len(one & other) / (len(one) + len(other))


def _music(score: Score, part: int) -> set[tuple[object, ...]]:
    return {
        (place, index, event.event.duration, tuple(str(head.pitch) for head in event.event.heads))
        for place, movement in enumerate(score.movements)
        for staff in movement.staves[part] for voice in staff.voices
        for index, event in enumerate(voice)
    }  # fmt: skip


def piece_changes(old: Score, new: Score) -> Iterator[Change]:
    """The title page, and how the page is printed."""
    for field in (field for field in fields(Header) if field.name not in _FOR_READERS):
        was, now = getattr(old.header, field.name), getattr(new.header, field.name)
        if field.name == "colours":
            was, now = bool(was), bool(now)
        if was != now:
            words = _WORDS.get(field.name, field.name.replace("_", " "))
            yield Change(ChangeKind.PIECE, f"{words}: {_value(now)} instead of {_value(was)}")


def _value(value: object) -> str:
    match value:
        case None | "" | ():
            return "none"
        case bool():
            return "yes" if value else "no"
        case str():
            return f'"{value}"'
        case Paper():
            return value.name
        case _:
            return str(value)


def force_changes(old: Score, new: Score, parts: Parts) -> Iterator[Change]:
    """Parts that are new, gone, called otherwise, played by others, or that stand elsewhere on the page."""
    for a, b in parts.pairs:
        was, now = old.parts[a], new.parts[b]
        if was.name != now.name:
            yield Change(ChangeKind.FORCES, f"{was.name} is called {now.name}")
        if was.instrument.key != now.instrument.key:
            said = f"{now.name} is played by {now.instrument.key} instead of {was.instrument.key}"
            yield Change(ChangeKind.FORCES, said)
        elif _print(was) != _print(now):
            yield Change(ChangeKind.FORCES, f"{now.name} is printed as {_print(now)} instead of {_print(was)}")
        if was.doublings != now.doublings:
            yield Change(ChangeKind.FORCES, f"{now.name} takes up {_taken_up(now)} instead of {_taken_up(was)}")
        if was.soloist != now.soloist:
            yield Change(ChangeKind.FORCES, f"{now.name} is {'a' if now.soloist else 'no longer a'} soloist")
    for part in (new.parts[b] for b in parts.added):
        yield Change(ChangeKind.FORCES, f"{part.name} ({part.instrument.key}) is new, with {_count(new, part)}")
    for part in (old.parts[a] for a in parts.gone):
        yield Change(ChangeKind.FORCES, f"{part.name} ({part.instrument.key}) is gone, with {_count(old, part)}")
    order = [a for a, _ in parts.pairs]
    if order != sorted(order):
        yield Change(ChangeKind.FORCES, "the parts stand in another order")
    yield from _groups(old, new, parts)


def _taken_up(part: Part) -> str:
    return ", ".join(instrument.key for instrument in part.doublings) or "nothing else"


def _print(part: Part) -> str:
    return f'"{part.label}" ("{part.abbreviation}")'


def _count(score: Score, part: Part) -> str:
    place = score.parts.index(part)
    count = sum(
        bool(event.event.heads) and not event.tied_before
        for movement in score.movements for event in events_of(movement.staves[place])
    )  # fmt: skip
    return "1 note" if count == 1 else f"{count} notes"


def _groups(old: Score, new: Score, parts: Parts) -> Iterator[Change]:
    called = {old.parts[a].name: new.parts[b].name for a, b in parts.pairs}
    was = {group.name: tuple(called.get(name, name) for name in group.parts) for group in old.groups}
    now = {group.name: group.parts for group in new.groups}
    for name in dict.fromkeys((*was, *now)):
        if name not in was:
            yield Change(ChangeKind.FORCES, f"group {name} is new: {', '.join(now[name])}")
        elif name not in now:
            yield Change(ChangeKind.FORCES, f"group {name} is gone")
        elif was[name] != now[name]:
            yield Change(ChangeKind.FORCES, f"group {name} is {', '.join(now[name])} instead of {', '.join(was[name])}")
