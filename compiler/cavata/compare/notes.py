"""Which notes of a passage's old version are which of its new one.

In: the notes of one voice in both versions, and where the passage begins in each. Out: pairs in the order of the new
version; a note that is gone stands where it stood. There are two ways to pair: by the moment, as where a note was taken
out and left a rest; and by the order, as where what follows moved up. The caller takes the one that tells less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.compare.align import Places, alike_runs, as_early_as_can_be, as_late_as_can_be, shortest
from cavata.compare.changes import ChangeKind
from cavata.compare.reading import ReadNote
from cavata.music.pitch import SIZES, Interval, Pitch
from cavata.record import record
from cavata.text import with_article

NotePair = tuple[ReadNote | None, ReadNote | None]

_MOST_LEFT_OVER = 300
"""Notes left over on either side, beyond which a passage is told as written anew."""


def by_moment(old: Sequence[ReadNote], new: Sequence[ReadNote], shift: int) -> list[NotePair]:
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


def by_order(old: Sequence[ReadNote], new: Sequence[ReadNote]) -> list[list[NotePair]]:
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


def _filled(old: Sequence[ReadNote], new: Sequence[ReadNote], same: Places) -> list[NotePair]:
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


# ----------------------------------------------------------------
# What happened to the pitches of paired notes.
#
# In: pairs of notes in order. Out: stretches of them, each with what was done to it in words: transposed, moved within
# the mode, inverted or in retrograde, respelled, or other pitches.


Both = tuple[ReadNote, ReadNote]
_QUALITIES = {"P": "perfect", "M": "major", "m": "minor", "aug": "augmented", "dim": "diminished"}
_SIZES = (*SIZES[:14], "double octave")
_LEAST_NOTES = 3
"""Notes that a passage has at least to be told as inverted or in retrograde, or as moved within a mode."""


@record
class SameChange:
    """Pairs to which the same happened."""

    kind: ChangeKind
    said: str
    pairs: tuple[Both, ...]


def interval_words(interval: Interval) -> str:
    """`a major third higher`, `an octave lower`."""
    lower = interval.steps < 0 or (interval.steps == 0 and interval.semitones < 0)
    upward = -interval if lower else interval
    quality, word = str(upward).rstrip("0123456789"), _size_word(upward.steps)
    if not (quality == "P" and word.endswith("octave")):
        word = f"{_QUALITIES.get(quality, quality)} {word}"
    return f"{with_article(word)} {'lower' if lower else 'higher'}"


def steps_words(steps: int) -> str:
    """`a third higher within the mode`."""
    return f"{with_article(_size_word(abs(steps)))} {'lower' if steps < 0 else 'higher'} within the mode"


def _size_word(steps: int) -> str:
    return _SIZES[steps] if steps < len(_SIZES) else f"interval of {steps + 1} steps"


def pitch_stretches(pairs: Sequence[Both]) -> Iterator[SameChange]:
    """Everything that happened to the pitches, in order."""
    changed = [place for place, (a, b) in enumerate(pairs) if a.sound != b.sound]
    if not changed:
        return
    whole = pairs[changed[0] : changed[-1] + 1]
    form = _in_form(whole)
    if form:
        yield SameChange(ChangeKind.TRANSPOSED, form, tuple(whole))
        return
    for is_changed, run in alike_runs(whole, lambda pair: pair[0].sound != pair[1].sound):
        if is_changed and (form := _in_form(run)):
            yield SameChange(ChangeKind.TRANSPOSED, form, tuple(run))
        elif is_changed:
            for steps, part in alike_runs(run, _steps):
                yield from _moved_alike(part, steps)


def reversed_stretch(old: Sequence[ReadNote], new: Sequence[ReadNote]) -> SameChange | None:
    """The whole passage from its last note to its first, durations included; None if it is not that."""
    values = [(note.sound, note.length) for note in old]
    if len(old) < _LEAST_NOTES or values == values[::-1] or [(n.sound, n.length) for n in new] != values[::-1]:
        return None
    pairs = tuple(zip(reversed(old), new, strict=True))
    return SameChange(ChangeKind.TRANSPOSED, "in retrograde", pairs)


def _pitches(note: ReadNote) -> tuple[Pitch, ...]:
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


def _moved_alike(run: list[Both], steps: int | None) -> Iterator[SameChange]:
    """A stretch that moved by the same number of staff steps."""
    if steps is None:
        yield from (_alone(pair) for pair in run)
        return
    exact = alike_runs(run, _interval)
    if steps and len(run) >= _LEAST_NOTES and len(exact) * 3 > len(run) and len(exact) > 1:
        yield SameChange(ChangeKind.TRANSPOSED, steps_words(steps), tuple(run))
        return
    for interval, part in exact:
        if interval is not None and len(part) > 1 and interval.semitones:
            yield SameChange(ChangeKind.TRANSPOSED, interval_words(interval), tuple(part))
        else:
            yield from (_alone(pair) for pair in part)


def _alone(pair: Both) -> SameChange:
    """One note that is another."""
    old, new = _pitches(pair[0]), _pitches(pair[1])
    was, now = (" ".join(map(str, pitches)) for pitches in (old, new))
    if [pitch.midi for pitch in old] == [pitch.midi for pitch in new]:
        return SameChange(ChangeKind.RESPELLED, f"{was} is now written {now}", (pair,))
    return SameChange(ChangeKind.PITCH, f"{was} is now {now}", (pair,))


def _in_form(run: Sequence[Both]) -> str:
    """`inverted about D4`, `its pitches in retrograde`; empty if neither."""
    if len(run) < _LEAST_NOTES:
        return ""
    sounds = [a.sound for a, _ in run]
    if [b.sound for _, b in run] == sounds[::-1] != sounds:
        return "its pitches in retrograde"
    if any(len(a.event.heads) > 1 or len(b.event.heads) > 1 for a, b in run):
        return ""
    single = [(_pitches(a)[0], _pitches(b)[0]) for a, b in run]
    if len({a.position for a, _ in single}) < _LEAST_NOTES or len({a.position + b.position for a, b in single}) > 1:
        return ""
    low, high = single[0]
    about = f" about {_axis(low, high)}" if (low.position + high.position) % 2 == 0 else ""
    return f"inverted{about}" + ("" if len({a.midi + b.midi for a, b in single}) == 1 else " within the mode")


def _axis(one: Pitch, other: Pitch) -> Pitch:
    """The pitch half-way between two, on the staff and by the keys."""
    position = (one.position + other.position) // 2
    return Pitch(position, (one.midi + other.midi) // 2 - Pitch(position, 0).midi)
