"""A subject within single lines: exact, transposed, turned, in other octaves, inflected, woven, with notes between.

In: a heard score, a subject, and how much freedom it has. Out: hits, at most one for each note at which one can begin
and each form, the closest. Chords break a line; so do rests when `strict`. At its own pitch any of its notes may be
inflected; elsewhere a few only, for a tune that moves by the same steps of the staff is not yet the name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from cavata.music.pitch import PitchClass
from cavata.record import dataclass
from cavata.trace.heard import HeardNote, HeardScore
from cavata.trace.hits import Closeness, Hit, Kind, Spacing
from cavata.trace.subject import Form, Shape, Subject, shapes

FEWEST_MOVED = 4
"""A subject of fewer notes is not sought transposed and inflected at once: it would be everywhere."""
WIDEST_WEAVE = 3
"""A name woven with up to two others has every second or third note."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of single notes in one line."""

    line: int
    first: int
    """Index of its first note in the line."""
    notes: tuple[HeardNote, ...]


def segments(score: HeardScore, strict: bool = False) -> tuple[Segment, ...]:
    """The stretches in which a line of single notes goes on."""
    found: list[Segment] = []
    for number, line in enumerate(score.lines):
        start = 0
        for index, note in enumerate(line.notes):
            if note.is_chord or (strict and note.after_rest):
                found.append(Segment(number, start, line.notes[start:index]))
                start = index + note.is_chord
        found.append(Segment(number, start, line.notes[start:]))
    return tuple(segment for segment in found if segment.notes)


def find_lines(
    score: HeardScore, subject: Subject, between: int = 0, strict: bool = False
) -> Iterator[Hit]:
    """Every place where the subject runs through one line, with up to `between` notes between its neighbours."""
    for segment in segments(score, strict):
        keys = [note.pitches[0].midi for note in segment.notes]
        for shape in shapes(subject):
            for start in range(len(keys) - len(shape.steps)):
                path = _path(keys, start, shape.steps, between)
                if path is not None:
                    yield _hit(score, subject, segment, shape, path[0], path[1])
                elif shape.letters and _is_inflected(segment.notes, start, shape.letters):
                    places = tuple(range(start, start + len(shape.letters)))
                    yield _hit(score, subject, segment, shape, places, Spacing.ADJACENT, inflected=True)
                elif shape.letters:
                    shift = _inflected_shift(segment.notes, start, shape.letters)
                    if shift is not None:
                        places = tuple(range(start, start + len(shape.letters)))
                        yield _hit(score, subject, segment, shape, places, Spacing.ADJACENT, True, shift)


def _path(
    keys: Sequence[int], start: int, steps: Sequence[int], between: int
) -> tuple[tuple[int, ...], Spacing] | None:
    """Where the shape's notes lie from a first note on: side by side, else evenly apart, else as near as may be."""
    for stride in range(1, WIDEST_WEAVE + 1):
        places = range(start, start + stride * len(steps) + 1, stride)
        if places[-1] < len(keys) and all(
            (keys[b] - keys[a] - step) % 12 == 0 for a, b, step in zip(places, places[1:], steps, strict=False)
        ):
            return tuple(places), Spacing.ADJACENT if stride == 1 else Spacing.WOVEN
    if between:
        loose = _loose_path(keys, start, steps, between)
        return (loose, Spacing.BETWEEN) if loose else None
    return None


def _loose_path(keys: Sequence[int], start: int, steps: Sequence[int], between: int) -> tuple[int, ...] | None:
    paths: list[tuple[int, ...]] = [(start,)]
    for step in steps:
        longer: dict[int, tuple[int, ...]] = {}
        for path in paths:
            last = path[-1]
            for place in range(last + 1, min(last + between + 2, len(keys))):
                if (keys[place] - keys[last] - step) % 12 == 0:
                    longer.setdefault(place, (*path, place))
        paths = [longer[place] for place in sorted(longer)]
    return paths[0] if paths else None


def _is_inflected(notes: Sequence[HeardNote], start: int, letters: Sequence[PitchClass]) -> bool:
    """Whether the letters stand there, each within a semitone."""
    if start + len(letters) > len(notes):
        return False
    return all(
        note.pitches[0].letter == wanted.letter and abs(note.pitches[0].alter - wanted.alter) <= 1
        for note, wanted in zip(notes[start : start + len(letters)], letters, strict=True)
    )


def most_inflected(notes: int) -> int:
    """How many notes of a transposed subject may be inflected: one in three; none of a subject of three."""
    return notes // 3 if notes >= FEWEST_MOVED else 0


def _inflected_shift(notes: Sequence[HeardNote], start: int, letters: Sequence[PitchClass]) -> int | None:
    """By how many semitones the letters stand higher there, a few of them a semitone off; None if they do not."""
    window = notes[start : start + len(letters)]
    if len(window) < len(letters):
        return None
    up = (window[0].pitches[0].letter - letters[0].letter) % 7
    if not up or any((n.pitches[0].letter - w.letter - up) % 7 for n, w in zip(window, letters, strict=True)):
        return None
    shifts = [(n.pitches[0].midi - w.semitone) % 12 for n, w in zip(window, letters, strict=True)]
    shift, plain = Counter(shifts).most_common(1)[0]
    near = all((other - shift + 1) % 12 <= 2 for other in shifts)
    return shift if near and 1 <= len(letters) - plain <= most_inflected(len(letters)) else None


def _hit(
    score: HeardScore, subject: Subject, segment: Segment, shape: Shape, places: tuple[int, ...], spacing: Spacing,
    inflected: bool = False, moved: int | None = None,
) -> Hit:  # fmt: skip
    notes = [segment.notes[place] for place in places]
    keys = [note.pitches[0].midi for note in notes]
    shift = (keys[0] - shape.first) % 12 if moved is None else moved
    whole = tuple(b - a for a, b in zip(keys, keys[1:], strict=False)) == shape.steps
    closeness = (
        Closeness.MOVED_INFLECTED if moved is not None
        else Closeness.INFLECTED if inflected
        else Closeness.OCTAVES if not whole
        else Closeness.TRANSPOSED if shift
        else Closeness.AT_PITCH
    )  # fmt: skip
    off = tuple(
        number
        for number, (note, wanted) in enumerate(zip(notes, shape.letters, strict=False), start=1)
        if inflected and _is_off(note, wanted, moved)
    )
    return Hit(
        subject=subject,
        kind=Kind(shape.form, closeness, spacing),
        also=shape.also,
        title=score.title,
        parts=(score.lines[segment.line].label,),
        first_bar=notes[0].bar,
        last_bar=notes[-1].bar,
        onset=notes[0].onset,
        notes=tuple((segment.line, segment.first + place) for place in places),
        pitches=tuple(note.pitches[0] for note in notes),
        shift=0 if inflected and moved is None else shift,
        foreign=places[-1] - places[0] - len(shape.steps),
        inflected=off,
        across_rest=any(note.after_rest for note in segment.notes[places[0] + 1 : places[-1] + 1]),
        even=len({note.duration for note in notes}) == 1,
    )


def _is_off(note: HeardNote, wanted: PitchClass, moved: int | None) -> bool:
    if moved is None:
        return note.pitches[0].alter != wanted.alter
    return (note.pitches[0].midi - wanted.semitone - moved) % 12 != 0


def letters_of(subject: Subject, form: Form) -> tuple[PitchClass, ...]:
    """The spelled notes of a form that has letters of its own; empty for inversions."""
    return next((shape.letters for shape in shapes(subject) if shape.form is form), ())
