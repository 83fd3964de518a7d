"""Transforms of pitch. Durations and marks stay; spellings are kept wherever they can be.

Where the exact spelling would pass a double accidental a note takes the simplest one; `respellings` tells which.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

from cavata.ciphers.cipher import nearest as nearest_to
from cavata.diagnostics import Refusal
from cavata.music.event import Event, Head, Motif
from cavata.music.mode import Mode, inverted_by_degrees, moved
from cavata.music.pitch import HIGHEST_OCTAVE, MOST_SIGNS, Interval, Pitch, PitchClass, renamed, simplest, writable
from cavata.record import record, replace
from cavata.transforms.selection import Selection, chosen, heads_meant

# ----------------------------------------------------------------
# Chord symbols when their notes move: transposed with them, or taken away where they would no longer be true.
#
# In: an event under a chord symbol, and what happens to its pitches. Out: the event with the symbol that fits them.


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


# ----------------------------------------------------------------
# Notes that were spelled otherwise than exactly, since no more than a double accidental can be written.


@record
class Respelling:
    """A note that could not be written as a step spells it."""

    wanted: Pitch
    """With as many signs as the exact spelling takes."""
    became: Pitch
    """The pitch in the line: this very object, so that its notes can be found."""


_noted: ContextVar[list[Respelling] | None] = ContextVar("noted", default=None)


@contextmanager
def respellings() -> Iterator[list[Respelling]]:
    """What steps within the block had to spell otherwise, in their order."""
    noted: list[Respelling] = []
    token = _noted.set(noted)
    try:
        yield noted
    finally:
        _noted.reset(token)


def note_respelling(wanted: Pitch, became: Pitch) -> Pitch:
    """Remember for `respellings` that a note was spelled otherwise; gives the pitch to be put into the line."""
    # A pitch of its own: one that other notes share would point to them too.
    own = Pitch(became.position, became.alter)
    noted = _noted.get()
    if noted is not None:
        noted.append(Respelling(wanted, own))
    return own


def checked(pitch: Pitch) -> Pitch:
    """The pitch, spelled simply if it has more than a double accidental, which is remembered for `respellings`.

    Refuses with V211 what leaves the range.
    """
    written = writable(pitch)
    return written if written == pitch else note_respelling(pitch, written)


# ----------------------------------------------------------------

def joined_heads(heads: list[Head]) -> tuple[Head, ...]:
    """Heads from low to high; equal pitches become one that remembers every letter."""
    merged: dict[Pitch, Head] = {}
    for head in heads:
        if head.pitch in merged:
            origins = merged[head.pitch].origins
            extra = tuple(o for o in head.origins if o not in origins)
            merged[head.pitch] = Head(head.pitch, origins + extra)
        else:
            merged[head.pitch] = head
    return tuple(sorted(merged.values(), key=lambda h: (h.pitch.midi, h.pitch.position)))


def with_pitches(motif: Motif, change: Callable[[Pitch], Pitch]) -> Motif:
    """Every pitch changed by one rule and written as it can be; an event that comes several times stays one object."""
    pitches = (
        head.pitch for event in motif.events for heads in (event.heads, *event.marks.graces) for head in heads
    )
    exact = {pitch: change(pitch) for pitch in dict.fromkeys(pitches)}
    written = _written(exact)
    known: dict[int, Event] = {}
    for event in motif.events:
        if id(event) not in known:
            known[id(event)] = _changed(event, exact.__getitem__, written.__getitem__)
    return Motif(tuple([known[id(event)] for event in motif.events]))


def _written(exact: Mapping[Pitch, Pitch]) -> dict[Pitch, Pitch]:
    """What each pitch becomes: itself as it is spelled, where none of them has more than a double accidental.

    Else either those that have are spelled simply, or all go equally far to other places of the staff, as from E triple
    flat and D double flat to D flat and C, so that the intervals between them stay: whichever takes fewer signs in all.
    """
    if all(abs(pitch.alter) <= MOST_SIGNS for pitch in exact.values()):
        return {pitch: checked(wanted) for pitch, wanted in exact.items()}
    first = next(iter(exact.values()))
    near = simplest(first).position - first.position
    ways = [[writable(wanted) for wanted in exact.values()]]
    ways += [[renamed(wanted, near + away) for wanted in exact.values()] for away in (0, 1, -1)]
    best = min(
        (way for way in ways if all(abs(pitch.alter) <= MOST_SIGNS for pitch in way)),
        key=lambda way: sum(abs(pitch.alter) for pitch in way),
    )
    return {
        pitch: checked(name) if name == wanted else note_respelling(wanted, checked(name))
        for (pitch, wanted), name in zip(exact.items(), best, strict=True)
    }


def _changed(event: Event, exact: Callable[[Pitch], Pitch], written: Callable[[Pitch], Pitch]) -> Event:
    heads = event.heads
    if event.marks.symbol is not None:
        moved = symbol_moved(event, written)
        # Notes that were spelled simply one by one did not all move alike, but the chord is still what it was.
        event = moved if moved.marks.symbol is not None else symbol_moved(event, exact)
    if event.marks.graces:
        event = event.with_graces(lambda head: Head(written(head.pitch), head.origins))
    if len(heads) == 1:
        return event.with_heads((Head(written(heads[0].pitch), heads[0].origins),))
    changed = [Head(written(head.pitch), head.origins) for head in heads]
    return event.with_heads(joined_heads(changed)) if heads else event


def up(motif: Motif, interval: Interval) -> Motif:
    """Every note higher by the interval, spelled as the interval says."""
    return with_pitches(motif, lambda pitch: pitch.exactly(interval))


def down(motif: Motif, interval: Interval) -> Motif:
    """Every note lower by the interval, spelled as the interval says."""
    return with_pitches(motif, lambda pitch: pitch.exactly(-interval))


def step_up(motif: Motif, steps: int, mode: Mode) -> Motif:
    """Every note so many degrees of the mode higher; a note foreign to the mode stays foreign by as much."""
    return with_pitches(motif, lambda pitch: moved(pitch, steps, mode))


def step_down(motif: Motif, steps: int, mode: Mode) -> Motif:
    """Every note so many degrees of the mode lower."""
    return step_up(motif, -steps, mode)


def inverted(motif: Motif, axis: Pitch) -> Motif:
    """What lay an interval above the axis lies the same interval below it."""
    return with_pitches(motif, lambda pitch: pitch.inverted(axis))


def inverted_in(motif: Motif, mode: Mode, axis: Pitch) -> Motif:
    """Inverted by degrees of the mode: what lay three degrees above the axis lies three below it."""
    return with_pitches(motif, lambda pitch: inverted_by_degrees(pitch, axis, mode))


def lowest(motif: Motif) -> Pitch:
    """The lowest pitch of the first note; refuses an empty line."""
    for event in motif.events:
        if event.heads:
            return event.heads[0].pitch
    raise Refusal("V209", "{subject} has no note", "an empty line", "give it at least one note")


def from_pitch(motif: Motif, pitch: Pitch) -> Motif:
    """The whole line moved by octaves so that its first note (a chord's lowest) is the pitch."""
    first = lowest(motif)
    if first.pitch_class != pitch.pitch_class:
        raise Refusal(
            "V204",
            f"{{subject}} begins on {first.pitch_class}, not on {pitch.pitch_class}",
            "another note",
            f"write `from {first.pitch_class}{pitch.octave}`; `up` and `down` transpose",
            (0, 0),
        )
    return by_octaves(motif, pitch.octave - first.octave)


def by_octaves(motif: Motif, octaves: int) -> Motif:
    """Every note so many octaves higher; refuses what leaves C0 to B9."""
    return up(motif, Interval(7 * octaves, 12 * octaves)) if octaves else motif


def within(motif: Motif, low: Pitch, high: Pitch) -> Motif:
    """Moved by octaves until it fits; only if no octave fits, single notes are folded in."""
    if high.midi - low.midi < 11:
        if high.midi < low.midi:
            raise Refusal("V205", f"{low}..{high} runs downward", "", f"write `{high}..{low}`", (0, 0))
        octave = f"{low}..{low.shifted(1)}" if low.octave < HIGHEST_OCTAVE else f"{high.shifted(-1)}..{high}"
        raise Refusal(
            "V205", f"{low}..{high} is too narrow to hold every note name", "less than an octave",
            f"`{octave}` is an octave", (0, 0),
        )
    pitches = [head.pitch.midi for event in motif.events for head in event.heads]
    if not pitches:
        return motif
    for octaves in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7, 8, -8, 9, -9):
        if low.midi <= min(pitches) + 12 * octaves and max(pitches) + 12 * octaves <= high.midi:
            return by_octaves(motif, octaves)

    def fold(pitch: Pitch) -> Pitch:
        while pitch.midi < low.midi:
            pitch = pitch.shifted(1)
        while pitch.midi > high.midi:
            pitch = pitch.shifted(-1)
        return pitch

    return with_pitches(motif, fold)


def closest(motif: Motif) -> Motif:
    """The octaves chosen anew from the first note on: each next one closest on the staff."""
    return _laid(motif, nearest_to)


def ascending(motif: Motif) -> Motif:
    """The octaves chosen anew: each next note above the one before; a repeated note stays."""
    return _laid(motif, lambda wanted, previous: _beyond(wanted, previous, 1))


def descending(motif: Motif) -> Motif:
    """The octaves chosen anew: each next note below the one before; a repeated note stays."""
    return _laid(motif, lambda wanted, previous: _beyond(wanted, previous, -1))


def _beyond(wanted: PitchClass, previous: Pitch, direction: int) -> Pitch:
    pitch = Pitch.of(wanted, previous.octave)
    if wanted == previous.pitch_class:
        return previous
    while (pitch.midi - previous.midi) * direction <= 0:
        pitch = pitch.shifted(direction)
    while (pitch.shifted(-direction).midi - previous.midi) * direction > 0:
        pitch = pitch.shifted(-direction)
    return checked(pitch)


def _laid(motif: Motif, place: Callable[[PitchClass, Pitch], Pitch]) -> Motif:
    """Each event moved by octaves after the one before; a chord goes by its lowest note."""
    previous: Pitch | None = None
    events = []
    for event in motif.events:
        if event.heads:
            lowest_now = event.heads[0].pitch
            target = lowest_now if previous is None else place(lowest_now.pitch_class, previous)
            octaves = (target.position - lowest_now.position) // 7
            event = by_octaves(Motif((event,)), octaves).events[0]
            previous = target
        events.append(event)
    return Motif(tuple(events))


def expanded(motif: Motif, times: int) -> Motif:
    """Every interval from the first note so many times as wide, in semitones and in staff steps.

    Where that would need more than one accidental the note is respelled.
    """
    if not 1 <= times <= 12:
        raise Refusal(
            "V206", f"intervals cannot be made {times} times as wide", "", "write a number from 1 to 12", (0, 0)
        )
    first = lowest(motif)

    def stretch(pitch: Pitch) -> Pitch:
        interval = (pitch - first) * times
        position, midi = first.position + interval.steps, first.midi + interval.semitones
        for away in (0, 1, -1, 2, -2, 3, -3):
            alter = midi - Pitch(position + away, 0).midi
            if abs(alter) <= 1:
                return Pitch(position + away, alter)
        raise Refusal("V211", "a note would leave the range C0 to B9", "", "write a smaller number", (0, 0))

    return with_pitches(motif, stretch)


def _inflected(motif: Motif, notes: Selection | None, how: str, change: Callable[[Pitch], Pitch]) -> Motif:
    """Of a chord that was chosen by a letter, only the notes of that letter change."""
    indices = chosen(motif, notes)
    events = list(motif.events)
    for index in indices:
        meant = heads_meant(motif, index, notes)
        heads = [
            Head(change(h.pitch), tuple(o.inflected(how) for o in h.origins)) if h in meant else h
            for h in events[index].heads
        ]
        events[index] = symbol_kept(events[index], joined_heads(heads))
    return Motif(tuple(events))


def sharp(motif: Motif, notes: Selection | None) -> Motif:
    """The notes get a sharp and keep their place on the staff."""
    return _inflected(motif, notes, "sharp", lambda pitch: Pitch(pitch.position, 1))


def flat(motif: Motif, notes: Selection | None) -> Motif:
    """The notes get a flat and keep their place on the staff."""
    return _inflected(motif, notes, "flat", lambda pitch: Pitch(pitch.position, -1))


def natural(motif: Motif, notes: Selection | None) -> Motif:
    """The notes lose their accidental."""
    return _inflected(motif, notes, "natural", lambda pitch: Pitch(pitch.position, 0))


def raised(motif: Motif, notes: Selection | None) -> Motif:
    """The notes a chromatic semitone higher, whatever sign they had: the letter stays."""
    return _inflected(motif, notes, "raised", lambda pitch: checked(Pitch(pitch.position, pitch.alter + 1)))


def lowered(motif: Motif, notes: Selection | None) -> Motif:
    """The notes a chromatic semitone lower, whatever sign they had: the letter stays."""
    return _inflected(motif, notes, "lowered", lambda pitch: checked(Pitch(pitch.position, pitch.alter - 1)))


def respelled(motif: Motif, notes: Selection | None, name: PitchClass) -> Motif:
    """The notes are written by another name that sounds the same, as B for Cb."""

    def change(pitch: Pitch) -> Pitch:
        for octave in (pitch.octave - 1, pitch.octave, pitch.octave + 1):
            other = Pitch.of(name, octave)
            if other.midi == pitch.midi:
                return checked(other)
        raise Refusal(
            "V207",
            f"{pitch.pitch_class} and {name} do not sound the same",
            "another key of the keyboard",
            "respelling changes the name only; `raised` and `lowered` change the note",
            (1, 0),
        )

    return _inflected(motif, notes, "respelled", change)
