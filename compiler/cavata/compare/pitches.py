"""What happened to the pitches of paired notes.

In: pairs of notes in order. Out: stretches of them, each with what was done to it in words: transposed, moved within
the mode, turned upside down or round, respelled, or other pitches.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.compare.align import alike_runs
from cavata.compare.changes import Kind
from cavata.compare.reading import Note
from cavata.music.pitch import Interval, Pitch
from cavata.record import dataclass

Both = tuple[Note, Note]
_QUALITIES = {"P": "perfect", "M": "major", "m": "minor", "aug": "augmented", "dim": "diminished"}
_SIZES = (
    "unison", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "double octave",
)  # fmt: skip
_LEAST_TURNED = 3
"""Notes that a passage has at least to be told as turned upside down or round, or as moved within a mode."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Pairs to which the same happened."""

    kind: Kind
    said: str
    pairs: tuple[Both, ...]


def interval_words(interval: Interval) -> str:
    """`a major third higher`, `an octave lower`."""
    lower = interval.steps < 0 or (interval.steps == 0 and interval.semitones < 0)
    upward = -interval if lower else interval
    quality, size = str(upward).rstrip("0123456789"), upward.steps
    word = _SIZES[size] if size < len(_SIZES) else f"interval of {size + 1} steps"
    if not (quality == "P" and word.endswith("octave")):
        word = f"{_QUALITIES.get(quality, quality)} {word}"
    article = "an" if word[0] in "aeiou" else "a"
    return f"{article} {word} {'lower' if lower else 'higher'}"


def steps_words(steps: int) -> str:
    """`a third higher within the mode`."""
    size = abs(steps)
    word = _SIZES[size] if size < len(_SIZES) else f"interval of {size + 1} steps"
    article = "an" if word[0] in "aeiou" else "a"
    return f"{article} {word} {'lower' if steps < 0 else 'higher'} within the mode"


def pitch_stretches(pairs: Sequence[Both]) -> Iterator[Stretch]:
    """Everything that happened to the pitches, in order."""
    changed = [place for place, (a, b) in enumerate(pairs) if a.sound != b.sound]
    if not changed:
        return
    whole = pairs[changed[0] : changed[-1] + 1]
    turned = _turned(whole)
    if turned:
        yield Stretch(Kind.TRANSPOSED, turned, tuple(whole))
        return
    for is_changed, run in alike_runs(whole, lambda pair: pair[0].sound != pair[1].sound):
        if is_changed and (turned := _turned(run)):
            yield Stretch(Kind.TRANSPOSED, turned, tuple(run))
        elif is_changed:
            for steps, part in alike_runs(run, _steps):
                yield from _moved_alike(part, steps)


def reversed_stretch(old: Sequence[Note], new: Sequence[Note]) -> Stretch | None:
    """The whole passage from its last note to its first, durations included; None if it is not that."""
    values = [(note.sound, note.length) for note in old]
    if len(old) < _LEAST_TURNED or values == values[::-1] or [(n.sound, n.length) for n in new] != values[::-1]:
        return None
    return Stretch(Kind.TRANSPOSED, "from its last note to its first", tuple(zip(reversed(old), new, strict=True)))


def _pitches(note: Note) -> tuple[Pitch, ...]:
    return tuple([head.pitch for head in note.event.heads])


def _interval(pair: Both) -> Interval | None:
    """What leads from every pitch of the old note to that of the new one; None if there is no such interval."""
    old, new = _pitches(pair[0]), _pitches(pair[1])
    if len(old) != len(new):
        return None
    found = {b - a for a, b in zip(old, new, strict=True)}
    return found.pop() if len(found) == 1 else None


def _steps(pair: Both) -> int | None:
    interval = _interval(pair)
    return None if interval is None else interval.steps


def _moved_alike(run: list[Both], steps: int | None) -> Iterator[Stretch]:
    """A stretch that moved by the same number of staff steps."""
    if steps is None:
        yield from (_alone(pair) for pair in run)
        return
    exact = alike_runs(run, _interval)
    if steps and len(run) >= _LEAST_TURNED and len(exact) * 3 > len(run) and len(exact) > 1:
        yield Stretch(Kind.TRANSPOSED, steps_words(steps), tuple(run))
        return
    for interval, part in exact:
        if interval is not None and len(part) > 1 and interval.semitones:
            yield Stretch(Kind.TRANSPOSED, interval_words(interval), tuple(part))
        else:
            yield from (_alone(pair) for pair in part)


def _alone(pair: Both) -> Stretch:
    """One note that is another."""
    old, new = _pitches(pair[0]), _pitches(pair[1])
    was, now = (" ".join(map(str, pitches)) for pitches in (old, new))
    if [pitch.midi for pitch in old] == [pitch.midi for pitch in new]:
        return Stretch(Kind.RESPELLED, f"{was} is now written {now}", (pair,))
    return Stretch(Kind.PITCH, f"{was} is now {now}", (pair,))


def _turned(run: Sequence[Both]) -> str:
    """`upside down about D4`, `its notes in reverse order`; empty if neither."""
    if len(run) < _LEAST_TURNED:
        return ""
    sounds = [a.sound for a, _ in run]
    if [b.sound for _, b in run] == sounds[::-1] != sounds:
        return "its notes in reverse order"
    if any(len(a.event.heads) > 1 or len(b.event.heads) > 1 for a, b in run):
        return ""
    single = [(_pitches(a)[0], _pitches(b)[0]) for a, b in run]
    if len({a.position for a, _ in single}) < _LEAST_TURNED or len({a.position + b.position for a, b in single}) > 1:
        return ""
    low, high = single[0]
    about = f" about {_axis(low, high)}" if (low.position + high.position) % 2 == 0 else ""
    return f"upside down{about}" + ("" if len({a.midi + b.midi for a, b in single}) == 1 else " within the mode")


def _axis(one: Pitch, other: Pitch) -> Pitch:
    """The pitch half-way between two, on the staff and by the keys."""
    position = (one.position + other.position) // 2
    return Pitch(position, (one.midi + other.midi) // 2 - Pitch(position, 0).midi)
