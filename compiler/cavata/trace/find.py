"""A subject in several lines at once: sounding together as a chord, or split over voices.

A chord is a moment at which exactly the subject's pitch classes sound. Split means that the subject's notes begin at
moments that follow one another, one at each, and not all in one line; any note that begins at a moment may be the one.
Both are sought at the subject's own pitch only: transposed, every triad would be somebody's name.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from cavata.record import dataclass
from cavata.trace.heard import HeardNote, HeardScore
from cavata.trace.hits import Closeness, Hit, Kind, Spacing
from cavata.trace.subject import Form, Shape, Subject, shapes


@dataclass(frozen=True, slots=True)
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
            yield _hit(score, subject, Shape(Form.PRIME, (), (), 0, ()), point.sounding, Spacing.CHORD)
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
                    yield _hit(score, subject, shape, tuple(keys[0] for keys in choices), Spacing.SPLIT)


def expected_split(score: HeardScore, shape: Shape, points: tuple[Moment, ...]) -> float:
    """How many such runs there would be, were each pitch class to begin at a moment by its own frequency: a bound
    from above, since runs within one line are counted too."""
    begun = [classes_of(score, point.beginning) for point in points]
    runs = max(len(points) - len(shape.letters) + 1, 0)
    shares = (sum(letter.semitone in classes for classes in begun) / max(len(begun), 1) for letter in shape.letters)
    return runs * math.prod(shares)


def _hit(
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
