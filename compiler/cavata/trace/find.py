"""Where a subject lies in a score, and how: in single lines, as a chord, or split over voices.

In: a heard score, a subject, and how much freedom it has. Out: hits. Everything goes by sound, so that a score says the
same in MIDI as on the page: a note is the key that is played.

Within a line there is at most one hit for each note at which one can begin and each form, the closest: exact,
transposed, in other octaves, woven, with notes between, inflected. Chords break a line; so do rests when `strict`. At
its own pitch any of its notes may be a semitone off; elsewhere a few only, for a tune that moves by nearly the same
steps is not yet the name.

A chord is a moment at which exactly the subject's pitch classes sound. Split means that the subject's notes begin at
moments that follow one another, one at each, and not all in one line; any note that begins at a moment may be the one.
Both are sought at the subject's own pitch only: transposed, every triad would be somebody's name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.foreign.heard import HeardNote, HeardScore
from cavata.record import record
from cavata.trace.hits import Closeness, Hit, HitKind, Spacing
from cavata.trace.subject import FormedSubject, LineForm, Subject, shapes

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
    """Every place where the subject runs through one line, with up to `between` notes between its neighbors."""
    for segment in segments(score, strict):
        found = list(_find_in_segment(score, subject, segment, between))
        plain = {hit.notes[0] for hit in found if not hit.inflected and hit.kind.spacing is Spacing.ADJACENT}
        reach = len(subject.pitches) - _OVERLAP
        for hit in found:
            line, first = hit.notes[0]
            if not hit.inflected or not any((line, first + away) in plain for away in range(-reach, reach + 1)):
                yield hit


_OVERLAP = 2
"""An inflected hit that has so many notes of a plain one is no hit: it is that one, seen from beside."""


def _find_in_segment(score: HeardScore, subject: Subject, segment: Segment, between: int) -> Iterator[Hit]:
    keys = [note.pitches[0].midi for note in segment.notes]
    for shape in shapes(subject):
        for start in range(len(keys) - len(shape.steps)):
            path = _path(keys, start, shape.steps, between)
            if path is not None:
                yield _hit_in_line(score, subject, segment, shape, path[0], path[1])
            elif shape.letters:
                places = tuple(range(start, start + len(shape.letters)))
                shift = _inflected_shift([keys[place] for place in places], shape)
                if shift is not None:
                    yield _hit_in_line(score, subject, segment, shape, places, Spacing.ADJACENT, shift)


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


def most_inflected(notes: int) -> int:
    """How many notes of a transposed subject may be inflected: one in three; none of a subject of three."""
    return notes // 3 if notes >= FEWEST_MOVED else 0


def _inflected_shift(keys: Sequence[int], shape: FormedSubject) -> int | None:
    """By how many semitones these keys lie above the shape's notes, each of them within a semitone; None if by none."""
    shifts = [(key - letter.semitone) % 12 for key, letter in zip(keys, shape.letters, strict=True)]
    if all(shift in (0, 1, 11) for shift in shifts):
        return 0
    shift, plain = Counter(shifts).most_common(1)[0]
    near = all((other - shift + 1) % 12 <= 2 for other in shifts)
    return shift if near and 1 <= len(shifts) - plain <= most_inflected(len(shifts)) else None


def _hit_in_line(
    score: HeardScore, subject: Subject, segment: Segment, shape: FormedSubject, places: tuple[int, ...],
    spacing: Spacing, inflected_at: int | None = None,
) -> Hit:  # fmt: skip
    """`inflected_at`: by how many semitones an inflected subject stands higher."""
    notes = [segment.notes[place] for place in places]
    keys = [note.pitches[0].midi for note in notes]
    shift = (keys[0] - shape.first) % 12 if inflected_at is None else inflected_at
    whole = tuple(b - a for a, b in pairwise(keys)) == shape.steps
    if inflected_at is not None:
        closeness = Closeness.MOVED_INFLECTED if inflected_at else Closeness.INFLECTED
    elif not whole:
        closeness = Closeness.OCTAVES
    else:
        closeness = Closeness.TRANSPOSED if shift else Closeness.AT_PITCH
    off = tuple(
        number
        for number, (key, letter) in enumerate(zip(keys, shape.letters, strict=False), start=1)
        if inflected_at is not None and (key - letter.semitone - shift) % 12
    )
    return Hit(
        subject=subject,
        kind=HitKind(shape.form, closeness, spacing),
        also=shape.also,
        title=score.title,
        parts=(score.lines[segment.line].label,),
        first_bar=notes[0].bar,
        last_bar=notes[-1].bar,
        onset=notes[0].onset,
        notes=tuple((segment.line, segment.first + place) for place in places),
        pitches=tuple(note.pitches[0] for note in notes),
        shift=shift,
        foreign=places[-1] - places[0] - len(shape.steps),
        inflected=off,
        across_rest=any(note.after_rest for note in segment.notes[places[0] + 1 : places[-1] + 1]),
        even=len({note.duration for note in notes}) == 1,
    )


@record
class Onset:
    """A point of time at which something begins."""

    onset: Fraction
    beginning: tuple[tuple[int, int], ...]
    """Line and note of everything that begins."""
    sounding: tuple[tuple[int, int], ...]
    """The same of everything that sounds, what begins included."""


def moments(score: HeardScore) -> tuple[Onset, ...]:
    """Every point at which something begins, in order."""
    starts = sorted(
        (note.onset, line, index) for line, heard in enumerate(score.lines) for index, note in enumerate(heard.notes)
    )
    found: list[Onset] = []
    sounding: list[tuple[int, int]] = []
    at = 0
    while at < len(starts):
        onset = starts[at][0]
        fresh: list[tuple[int, int]] = []
        while at < len(starts) and starts[at][0] == onset:
            fresh.append(starts[at][1:])
            at += 1
        sounding = [key for key in sounding if note_at(score, key).end > onset] + fresh
        found.append(Onset(onset, tuple(fresh), tuple(sounding)))
    return tuple(found)


def note_at(score: HeardScore, key: tuple[int, int]) -> HeardNote:
    """A note by its line and its number."""
    return score.lines[key[0]].notes[key[1]]


def classes_of(score: HeardScore, keys: tuple[tuple[int, int], ...]) -> frozenset[int]:
    """The pitch classes of notes."""
    return frozenset(pitch.midi % 12 for key in keys for pitch in note_at(score, key).pitches)


def find_chords(score: HeardScore, subject: Subject, points: tuple[Onset, ...]) -> Iterator[Hit]:
    """Moments at which just the subject's pitch classes sound; a chord that goes on is told once."""
    wanted = frozenset(pitch.midi % 12 for pitch in subject.pitches)
    before = False
    for point in points:
        now = len(wanted) > 2 and classes_of(score, point.sounding) == wanted
        if now and not before:
            yield _hit_together(
                score, subject, FormedSubject(LineForm.PRIME, (), (), 0, ()), point.sounding, Spacing.CHORD
            )
        before = now


def find_split(score: HeardScore, subject: Subject, points: tuple[Onset, ...]) -> Iterator[Hit]:
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


def _hit_together(
    score: HeardScore, subject: Subject, shape: FormedSubject, keys: tuple[tuple[int, int], ...], spacing: Spacing
) -> Hit:
    notes = [note_at(score, key) for key in keys]
    wanted = {pitch.midi % 12 for pitch in subject.pitches}
    last = max(notes, key=lambda note: note.onset)
    begins = min(notes, key=lambda note: note.onset) if spacing is Spacing.SPLIT else last
    return Hit(
        subject=subject,
        kind=HitKind(shape.form, Closeness.AT_PITCH, spacing),
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
