"""Tracing names through the pieces of one file: every hit, and how each name stands against chance.

In: heard scores and names. Out: hits in the order of the music, and each name weighed in the whole file at once.
Whether a name stands out is decided by the run, which knows how many names it has.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.foreign.heard import HeardScore
from cavata.record import record
from cavata.trace.chance import Weighed, weighed
from cavata.trace.find import find_chords, find_lines, find_split, moments
from cavata.trace.hits import Chance, Closeness, Hit, HitKind, Spacing
from cavata.trace.sounds import Sounds
from cavata.trace.subject import Sought


@record
class Freedom:
    """What a hit may be."""

    between: int = 0
    """How many foreign notes may lie between two neighbors."""
    strict: bool = False
    """Whether a rest breaks a line."""
    together: bool = True
    """Whether chords and splits over voices are sought as well."""


@record
class Traced:
    """One name in one file."""

    weighed: Weighed
    hits: tuple[Hit, ...]
    """By any of its ciphers, in the order of pieces, then of onsets."""
    first_cipher: str

    def chance(self, hit: Hit) -> Chance:
        """How the hits of this one's kind stand among those of decoys."""
        kind = hit.kind
        if kind.spacing is Spacing.BETWEEN:
            # With notes between, octaves are left out of every count.
            closeness = Closeness.OCTAVES if hit.shift else Closeness.AT_PITCH
            kind = HitKind(kind.form, closeness, kind.spacing)
        elif kind.spacing is Spacing.ADJACENT and kind.closeness is Closeness.OCTAVES and not hit.shift:
            kind = HitKind(kind.form, Closeness.CLASSES, kind.spacing)
        return self.weighed.chances[hit.subject.cipher, kind]


def trace(
    scores: Sequence[HeardScore], names: Sequence[Sought], freedom: Freedom, tests: int = 1
) -> tuple[Traced, ...]:
    """Every name through all pieces of a file; `tests`: how many names the run has in all its files together."""
    scores = _movements(scores)
    sounds = Sounds.of(scores, freedom.strict, freedom.together)
    return tuple(
        Traced(
            weighed(sounds, name, freedom.between, tests), hits_of(scores, name, freedom), name.subjects[0].cipher
        )
        for name in names
    )


def hits_of(scores: Sequence[HeardScore], name: Sought, freedom: Freedom) -> tuple[Hit, ...]:
    """Every place at which a name sounds by one of its ciphers."""
    found: list[Hit] = []
    for score in _movements(scores):
        points = moments(score) if freedom.together else ()
        here: list[Hit] = []
        for subject in name.subjects:
            here += find_lines(score, subject, freedom.between, freedom.strict)
            here += find_chords(score, subject, points)
            here += find_split(score, subject, points)
        here.sort(key=lambda hit: (hit.onset, hit.notes, hit.subject.cipher))
        found += here
    return tuple(found)


def _movements(scores: Sequence[HeardScore]) -> tuple[HeardScore, ...]:
    """The pieces, movement by movement: nothing that sounds lies in two."""
    return tuple(movement for score in scores for movement in score.movements())
