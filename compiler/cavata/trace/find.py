"""A subject in several lines at once: sounding together as a chord, or split over voices.

A chord is a moment at which exactly the subject's pitch classes sound. Split means that the subject's notes begin at
moments that follow one another, one at each, and not all in one line; any note that begins at a moment may be the one.
Both are sought at the subject's own pitch only: transposed, every triad would be somebody's name.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache

from cavata.music.pitch import PitchClass
from cavata.record import record
from cavata.trace.heard import HeardNote, HeardScore
from cavata.trace.hits import Closeness, Hit, Kind, Spacing
from cavata.trace.subject import Form, Shape, Subject, shapes

# ----------------------------------------------------------------
# A subject within single lines: exact, transposed, turned, in other octaves, inflected, woven, with notes between.
#
# In: a heard score, a subject, and how much freedom it has. Out: hits, at most one for each note at which one can begin
# and each form, the closest. Chords break a line; so do rests when `strict`. At its own pitch any of its notes may be
# inflected; elsewhere a few only, for a tune that moves by the same steps of the staff is not yet the name.


FEWEST_MOVED = 4
"""A subject of fewer notes is not sought transposed and inflected at once: it would be everywhere."""
WIDEST_WEAVE = 3
"""A name woven with up to two others has every second or third note."""


@record
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
                    yield _hit_in_line(score, subject, segment, shape, path[0], path[1])
                elif shape.letters and _is_inflected(segment.notes, start, shape.letters):
                    places = tuple(range(start, start + len(shape.letters)))
                    yield _hit_in_line(score, subject, segment, shape, places, Spacing.ADJACENT, inflected=True)
                elif shape.letters:
                    shift = _inflected_shift(segment.notes, start, shape.letters)
                    if shift is not None:
                        places = tuple(range(start, start + len(shape.letters)))
                        yield _hit_in_line(score, subject, segment, shape, places, Spacing.ADJACENT, True, shift)


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


def _hit_in_line(
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


# ----------------------------------------------------------------

@record
class Moment:
    """A point of time at which something begins."""

    onset: Fraction
    beginning: tuple[tuple[int, int], ...]
    """Line and note of everything that begins."""
    sounding: tuple[tuple[int, int], ...]
    """The same of everything that sounds, what begins included."""


def moments(score: HeardScore) -> tuple[Moment, ...]:
    """Every point at which something begins, in order."""
    starts = sorted(
        (note.onset, line, index) for line, heard in enumerate(score.lines) for index, note in enumerate(heard.notes)
    )
    found: list[Moment] = []
    sounding: list[tuple[int, int]] = []
    at = 0
    while at < len(starts):
        onset = starts[at][0]
        fresh: list[tuple[int, int]] = []
        while at < len(starts) and starts[at][0] == onset:
            fresh.append(starts[at][1:])
            at += 1
        sounding = [key for key in sounding if note_at(score, key).end > onset] + fresh
        found.append(Moment(onset, tuple(fresh), tuple(sounding)))
    return tuple(found)


def note_at(score: HeardScore, key: tuple[int, int]) -> HeardNote:
    """A note by its line and its number."""
    return score.lines[key[0]].notes[key[1]]


def classes_of(score: HeardScore, keys: tuple[tuple[int, int], ...]) -> frozenset[int]:
    """The pitch classes of notes."""
    return frozenset(pitch.midi % 12 for key in keys for pitch in note_at(score, key).pitches)


def find_chords(score: HeardScore, subject: Subject, points: tuple[Moment, ...]) -> Iterator[Hit]:
    """Moments at which just the subject's pitch classes sound; a chord that goes on is told once."""
    wanted = frozenset(pitch.midi % 12 for pitch in subject.pitches)
    before = False
    for point in points:
        now = len(wanted) > 2 and classes_of(score, point.sounding) == wanted
        if now and not before:
            yield _hit_together(score, subject, Shape(Form.PRIME, (), (), 0, ()), point.sounding, Spacing.CHORD)
        before = now


def expected_chords(score: HeardScore, subject: Subject, points: tuple[Moment, ...]) -> float:
    """How many moments would have just these pitch classes, were each drawn by its frequency among all that sound."""
    wanted = tuple(sorted({pitch.midi % 12 for pitch in subject.pitches}))
    found = [classes_of(score, point.sounding) for point in points]
    counts = [sum(pc in classes for classes in found) for pc in range(12)]
    every = sum(counts)
    as_many = sum(len(classes) == len(wanted) for classes in found)
    return as_many * _drawn(tuple(counts[pc] / every for pc in wanted)) if every and len(wanted) > 2 else 0.0


def _drawn(shares: tuple[float, ...]) -> float:
    """The chance that drawing without putting back gives just these, in any order."""

    @cache
    def rest(taken: int) -> float:
        gone = sum(share for i, share in enumerate(shares) if taken >> i & 1)
        if taken == (1 << len(shares)) - 1 or gone >= 1:
            return 1.0
        return sum(s / (1 - gone) * rest(taken | 1 << i) for i, s in enumerate(shares) if not taken >> i & 1)

    return rest(0)


def find_split(score: HeardScore, subject: Subject, points: tuple[Moment, ...]) -> Iterator[Hit]:
    """Runs of moments at which the subject's notes begin in turn, in more than one line."""
    begun = [classes_of(score, point.beginning) for point in points]
    for shape in (s for s in shapes(subject) if s.letters):
        wanted = [letter.semitone for letter in shape.letters]
        for start in range(len(points) - len(wanted) + 1):
            if all(pc in begun[start + i] for i, pc in enumerate(wanted)):
                choices = [
                    [key for key in points[start + i].beginning if pc in classes_of(score, (key,))]
                    for i, pc in enumerate(wanted)
                ]
                if not set.intersection(*({line for line, _ in keys} for keys in choices)):
                    yield _hit_together(score, subject, shape, tuple(keys[0] for keys in choices), Spacing.SPLIT)


def expected_split(score: HeardScore, shape: Shape, points: tuple[Moment, ...]) -> float:
    """How many such runs there would be, were each pitch class to begin at a moment by its own frequency: a bound
    from above, since runs within one line are counted too."""
    begun = [classes_of(score, point.beginning) for point in points]
    runs = max(len(points) - len(shape.letters) + 1, 0)
    shares = (sum(letter.semitone in classes for classes in begun) / max(len(begun), 1) for letter in shape.letters)
    return runs * math.prod(shares)


def _hit_together(
    score: HeardScore, subject: Subject, shape: Shape, keys: tuple[tuple[int, int], ...], spacing: Spacing
) -> Hit:
    notes = [note_at(score, key) for key in keys]
    wanted = {pitch.midi % 12 for pitch in subject.pitches}
    last = max(notes, key=lambda note: note.onset)
    begins = min(notes, key=lambda note: note.onset) if spacing is Spacing.SPLIT else last
    return Hit(
        subject=subject,
        kind=Kind(shape.form, Closeness.AT_PITCH, spacing),
        also=shape.also,
        title=score.title,
        parts=tuple(dict.fromkeys(score.lines[line].label for line, _ in keys)),
        first_bar=begins.bar,
        last_bar=last.bar,
        onset=begins.onset,
        notes=keys,
        pitches=tuple(
            min((p for p in note.pitches if p.midi % 12 in wanted), key=lambda p: p.midi) for note in notes
        ),
        shift=0,
        foreign=0,
        inflected=(),
        across_rest=False,
        even=len({note.duration for note in notes}) == 1,
    )  # fmt: skip
