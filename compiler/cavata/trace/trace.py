"""Tracing subjects through scores: every hit, weighed against chance.

In: heard scores and subjects. Out: `Weighed` hits in the order of the music. Each kind of hit (its form, closeness and
spacing) is weighed as a whole in each piece: so many found, so many expected. A closer hit counts for the looser kinds
too, since it is one of them; what is told of a place is its closest kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.record import record
from cavata.trace.chance import NullModel
from cavata.trace.find import (
    WIDEST_WEAVE,
    Moment,
    expected_chords,
    expected_split,
    find_chords,
    find_lines,
    find_split,
    moments,
    most_inflected,
    segments,
)
from cavata.trace.heard import HeardScore
from cavata.trace.hits import Chance, Closeness, Hit, Kind, Spacing
from cavata.trace.subject import Shape, Subject, shapes

_CLOSENESS, _SPACING = list(Closeness), list(Spacing)


@record
class Freedom:
    """What a hit may be."""

    between: int = 0
    """How many foreign notes may lie between two neighbours."""
    strict: bool = False
    """Whether a rest breaks a line."""
    together: bool = True
    """Whether chords and splits over voices are sought as well."""


@record
class Weighed:
    """A hit and what it weighs."""

    hit: Hit
    chance: Chance


def trace(scores: Sequence[HeardScore], subjects: Sequence[Subject], freedom: Freedom) -> tuple[Weighed, ...]:
    """Every hit of every subject in every score, in the order of scores, then of onsets."""
    return tuple(weighed for score in scores for weighed in _in_score(score, subjects, freedom))


def _in_score(score: HeardScore, subjects: Sequence[Subject], freedom: Freedom) -> list[Weighed]:
    model = NullModel(tuple(segment.notes for segment in segments(score, freedom.strict)))
    points = moments(score) if freedom.together else ()
    found = [w for subject in subjects for w in _of_subject(score, subject, freedom, model, points)]
    return sorted(found, key=lambda w: (w.hit.onset, w.hit.notes, w.hit.subject.name))


def _of_subject(
    score: HeardScore, subject: Subject, freedom: Freedom, model: NullModel, points: tuple[Moment, ...]
) -> Iterator[Weighed]:
    hits = list(find_lines(score, subject, freedom.between, freedom.strict))
    hits += find_chords(score, subject, points)
    hits += find_split(score, subject, points)
    weights: dict[Kind, Chance] = {}
    for hit in hits:
        if hit.kind not in weights:
            expected = _expected(score, subject, hit.kind, freedom, model, points)
            weights[hit.kind] = Chance(sum(_is_also(other, hit.kind) for other in hits), expected)
        yield Weighed(hit, weights[hit.kind])


def _is_also(hit: Hit, kind: Kind) -> bool:
    """Whether a hit is one of a kind, being of that kind or of a closer one."""
    if hit.kind.form is not kind.form:
        return False
    own, spacing = hit.kind.closeness, hit.kind.spacing
    if kind.spacing is Spacing.BETWEEN:
        if spacing not in (Spacing.ADJACENT, Spacing.WOVEN, Spacing.BETWEEN):
            return False
    elif spacing is not kind.spacing:
        return False
    if Closeness.MOVED_INFLECTED in (own, kind.closeness):
        return own is kind.closeness
    if kind.closeness is Closeness.INFLECTED:
        return own is Closeness.INFLECTED or (own is not Closeness.TRANSPOSED and hit.shift == 0)
    return own is not Closeness.INFLECTED and _CLOSENESS.index(own) <= _CLOSENESS.index(kind.closeness)


def _expected(
    score: HeardScore, subject: Subject, kind: Kind, freedom: Freedom, model: NullModel, points: tuple[Moment, ...]
) -> float:
    shape = next(shape for shape in shapes(subject) if shape.form is kind.form)
    if kind.spacing is Spacing.CHORD:
        return expected_chords(score, subject, points)
    if kind.spacing is Spacing.SPLIT:
        return expected_split(score, shape, points)
    if kind.closeness is Closeness.INFLECTED:
        return model.expected_inflected(shape.letters)
    if kind.closeness is Closeness.MOVED_INFLECTED:
        return model.expected_moved_inflected(shape.letters, most_inflected(len(shape.letters)))
    octaves = kind.closeness is Closeness.OCTAVES
    often = _expected_spaced(shape, kind.spacing, octaves, freedom, model)
    return often * model.classes.get(shape.first, 0.0) if kind.closeness is Closeness.AT_PITCH else often


def _expected_spaced(shape: Shape, spacing: Spacing, octaves: bool, freedom: Freedom, model: NullModel) -> float:
    match spacing:
        case Spacing.ADJACENT:
            return model.expected_line(shape.steps, 1, octaves)
        case Spacing.WOVEN:
            return sum(model.expected_line(shape.steps, s, octaves) for s in range(2, WIDEST_WEAVE + 1))
        case _:
            return model.expected_between(shape.steps, max(freedom.between, WIDEST_WEAVE - 1), octaves)
