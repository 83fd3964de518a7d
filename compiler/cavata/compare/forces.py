"""What changed in the piece as a whole: its title page, and who plays.

In: two scores. Out: which part of the old one is which of the new one, and changes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields
from fractions import Fraction

from cavata.compare.changes import Change, ChangeKind
from cavata.names.paper import Paper
from cavata.record import record
from cavata.score.clock import time_in_words
from cavata.score.score import Header, Part, Score, SharedStaff, events_of
from cavata.text import readable, so_many

_STILL_THE_SAME = 0.5
"""How much of its music a part shares at least with one of another name, to be told as renamed."""
_MOVED = 0.9
"""What the same music at another pitch counts, where there is some at the same."""
_TOLD_APART = frozenset(("proof", "kind", "reader", "arranged_by", "shortest", "longest"))
"""Facts of a copy, not of the piece; and the length asked for, which is two fields and one row of the script."""


@record
class PairedParts:
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


def matched_parts(old: Score, new: Score) -> PairedParts:
    """Parts of the same name, and of the others those that share their music, as it was or at another pitch.

    Of two silent parts those are one whose instrument is one.
    """
    names = [part.name for part in old.parts]
    pairs = [(names.index(part.name), b) for b, part in enumerate(new.parts) if part.name in names]
    free_old = [a for a in range(len(names)) if a not in {pair[0] for pair in pairs}]
    free_new = [b for b in range(len(new.parts)) if b not in {pair[1] for pair in pairs}]
    ranked = sorted(
        (-shared, abs(a - b), a, b)
        for a in free_old for b in free_new if (shared := _shared(old, a, new, b)) >= _STILL_THE_SAME
    )  # fmt: skip
    for _, _, a, b in ranked:
        if a in free_old and b in free_new:
            pairs.append((a, b))
            free_old.remove(a)
            free_new.remove(b)
    return PairedParts(tuple(sorted(pairs, key=lambda pair: pair[1])), tuple(free_old), tuple(free_new))


def _shared(old: Score, a: int, new: Score, b: int) -> float:
    """The share of steps from note to note that both parts have, at the same pitches or at others."""
    one, other = list(_steps(old, a)), list(_steps(new, b))
    if not one and not other:
        return float(old.parts[a].instrument.key == new.parts[b].instrument.key)
    exact, moved = (
        2 * (Counter(map(part, one)) & Counter(map(part, other))).total() / (len(one) + len(other))
        for part in (tuple, lambda step: step[1:])
    )  # fmt: skip
    return max(exact, _MOVED * moved)


def _steps(score: Score, part: int) -> Iterator[tuple[object, ...]]:
    """Each note of a part: its pitches; the movement, its length and the note's before, the steps from that to it."""
    for place, movement in enumerate(score.movements):
        for voice in (voice for staff in movement.staves[part] for voice in staff.voices):
            last, before = 0, Fraction(0)
            for event in (each for each in voice if each.event.heads):
                sounds = tuple(head.pitch.midi for head in event.event.heads)
                yield sounds, place, event.event.duration, before, tuple(sound - last for sound in sounds)
                last, before = sounds[0], event.event.duration


def piece_changes(old: Score, new: Score) -> Iterator[Change]:
    """The title page, and how the page is printed."""
    asked, asks = _length(old.header), _length(new.header)
    if asked != asks:
        yield Change(ChangeKind.PIECE, f"length asked for: {asks} instead of {asked}")
    for field in (field for field in fields(Header) if field.name not in _TOLD_APART):
        was, now = getattr(old.header, field.name), getattr(new.header, field.name)
        if field.name == "colors":
            was, now = bool(was), bool(now)
        if was != now:
            yield Change(ChangeKind.PIECE, f"{readable(field.name)}: {_value(now)} instead of {_value(was)}")


def _length(header: Header) -> str:
    """The length asked for, as `4 min to 5 min`."""
    asked = (minutes for minutes in (header.shortest, header.longest) if minutes is not None)
    return " to ".join(dict.fromkeys(time_in_words(60 * minutes).removesuffix(" 0 s") for minutes in asked)) or "none"


def _value(value: object) -> str:
    match value:
        case None | "" | ():
            return "none"
        case bool():
            return "yes" if value else "no"
        case str():
            return f'"{value}"'
        case tuple():
            return ", ".join(map(_value, value))
        case Paper():
            return value.name
        case _:
            return str(value)


def force_changes(old: Score, new: Score, parts: PairedParts) -> Iterator[Change]:
    """Parts that are new, gone, called otherwise, played by others, or that stand elsewhere on the page."""
    for a, b in parts.pairs:
        was, now = old.parts[a], new.parts[b]
        called = f"{was.name} is called {now.name}" if was.name != now.name else ""
        if was.instrument.key != now.instrument.key:
            played = f"played by {now.instrument.key} instead of {was.instrument.key}"
            yield Change(ChangeKind.FORCES, f"{called} and {played}" if called else f"{now.name} is {played}")
        elif called:
            yield Change(ChangeKind.FORCES, called)
        elif _print(was) != _print(now):
            yield Change(ChangeKind.FORCES, f"{now.name} is printed as {_print(now)} instead of {_print(was)}")
        if was.doublings != now.doublings:
            yield Change(ChangeKind.FORCES, f"{now.name} takes up {_taken_up(now)} instead of {_taken_up(was)}")
        if was.instrument.key == now.instrument.key and was.instrument.strings != now.instrument.strings:
            yield Change(ChangeKind.FORCES, f"{now.name} is tuned {_tuning(now)} instead of {_tuning(was)}")
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
    yield from _staves(old, new, parts)


def _taken_up(part: Part) -> str:
    return ", ".join(instrument.key for instrument in part.doublings) or "nothing else"


def _tuning(part: Part) -> str:
    return " ".join(map(str, part.instrument.strings))


def _print(part: Part) -> str:
    return f'"{part.label}" ("{part.abbreviation}")'


def _count(score: Score, part: Part) -> str:
    place = score.parts.index(part)
    count = sum(
        bool(event.event.heads) and not event.tied_before
        for movement in score.movements for event in events_of(movement.staves[place])
    )  # fmt: skip
    return so_many(count, "note")


def _groups(old: Score, new: Score, parts: PairedParts) -> Iterator[Change]:
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


def _staves(old: Score, new: Score, parts: PairedParts) -> Iterator[Change]:
    """Staves of the score that several parts share, or that stand under one name."""
    called = {old.parts[a].name: new.parts[b].name for a, b in parts.pairs}
    was = {staff.name: _staff(staff, called) for staff in old.shared}
    now = {staff.name: _staff(staff, {}) for staff in new.shared}
    for name in dict.fromkeys((*was, *now)):
        if was.get(name) == now.get(name):
            continue
        if name not in was:
            yield Change(ChangeKind.FORCES, f"{name}, {now[name]}, is new")
        elif name not in now:
            yield Change(ChangeKind.FORCES, f"{name}, {was[name]}, is gone")
        else:
            yield Change(ChangeKind.FORCES, f"{name} is {now[name]} instead of {was[name]}")


def _staff(staff: SharedStaff, called: Mapping[str, str]) -> str:
    parts = ", ".join(called.get(name, name) for name in staff.parts)
    sort = "staves of their own under one name for" if staff.apart else "one staff for"
    return f'{sort} {parts}, printed "{staff.label}" ("{staff.abbreviation}")'
