"""Whether a name stands out in a score among names made by chance: ranks against decoys, and verdicts.

The null is the style itself: the score stays as it is, and the name is one among invented names of the same kind
(`decoys`). Of each name, the given one and the invented alike, the hits of every kind are counted in every form and by
every cipher; each count is set against what the style has anyhow (`style`), and the best of all is the name's score. If
b of m decoys score as high, the name's p is (b + 1)/(m + 1) (Phipson and Smyth 2010). Since the best is taken of the
decoys too, it needs no correction that many kinds are tried (the max-T of Westfall and Young).

That many names are tried in one run is corrected by Holm's step-down method: it bounds the chance that a run has any
false `significant`, whatever the names have to do with one another. Benjamini and Hochberg's bounds the share of false
ones among all that are found, so that each true name would let a false one through more easily.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum

import numpy as np

from cavata.record import record
from cavata.trace.decoys import decoys, own_keys
from cavata.trace.hits import Chance, Closeness, HitKind, Spacing
from cavata.trace.sounds import Countable, Floats, Ints, Sounds, counted
from cavata.trace.style import Style
from cavata.trace.subject import LineForm, Sought

SIGNIFICANT, INCONCLUSIVE = 0.005, 0.1
"""Corrected p up to which a name is told as the one or the other."""
DECOYS, _MOST_DECOYS = 999, 19_999
NO_INTENTION = "no statistic knows an intention: `significant` says that chance of this kind seldom does as well"

_AGAIN = 0.5
"""What each further hit weighs against the first: music repeats itself, and a passage that comes again is no news."""
_RARE = 0.01
_HANDICAP: dict[LineForm | Closeness | Spacing, float] = {
    LineForm.INVERSION: 0.5, LineForm.RETROGRADE: 0.5, LineForm.RETROGRADE_INVERSION: 0.5,
    Closeness.TRANSPOSED: 0.3, Closeness.OCTAVES: 0.5, Closeness.CLASSES: 0.3,
    Closeness.INFLECTED: 0.5, Closeness.MOVED_INFLECTED: 0.7,
    Spacing.WOVEN: 0.7, Spacing.BETWEEN: 0.7, Spacing.CHORD: 1.0, Spacing.SPLIT: 0.7,
}  # fmt: skip
_OTHER_CIPHER = 0.5
"""Powers of ten that a rarer way of hiding a name is set back by, so that the plain ones, at pitch and by the cipher
that comes first, keep their strength although many are tried. The same for the name and for its decoys."""


class Verdict(Enum):
    """What is said of a name in a score."""

    SIGNIFICANT = "significant"
    INCONCLUSIVE = "inconclusive"
    AS_EXPECTED = "as expected"


@record
class Weighed:
    """A name in one file, or in one corpus, against its decoys."""

    name: str
    cipher: str
    """By which it stands out most; empty where it was not found at all, and for notes written out."""
    kind: HitKind | None
    """In which it stands out most; None where it was not found at all."""
    as_good: int
    """How many decoys score as high."""
    decoys: int
    chances: dict[tuple[str, HitKind], Chance]
    """For each cipher and kind how the name's own hits stand among those of the decoys; also where it has none."""

    @property
    def probability(self) -> float:
        """How often a name of the same kind does as well; not corrected over names."""
        return (self.as_good + 1) / (self.decoys + 1)

    @property
    def chance(self) -> Chance | None:
        """Of the kind in which the name stands out most."""
        return None if self.kind is None else self.chances[self.cipher, self.kind]


def weighed(sounds: Countable, sought: Sought, between: int = 0, tests: int = 1, exact: bool = False) -> Weighed:
    """A name against its decoys.

    `tests`: how many names the run has in all its files; with many of them a name that hardly a decoy equals is held
    against more, for a thousand could not tell it apart any more. `exact`: only whole lines, transposed or not, count.
    """
    found = _against(sounds, sought, between, DECOYS, exact)
    wanted = min(-(-tests * 2 // 5) * (DECOYS + 1) - 1, _MOST_DECOYS)
    if wanted > DECOYS and found.kind is not None and found.as_good <= DECOYS // 50:
        return _against(sounds, sought, between, wanted, exact)
    return found


def corrected(probabilities: Sequence[float]) -> list[float]:
    """Holm's step-down: each p of a run as it is when all are looked at together, in the same order."""
    order = sorted(range(len(probabilities)), key=lambda i: probabilities[i])
    made = [0.0] * len(order)
    highest = 0.0
    for rank, i in enumerate(order):
        highest = max(highest, min((len(order) - rank) * probabilities[i], 1.0))
        made[i] = highest
    return made


def verdict(probability: float) -> Verdict:
    """What a corrected p is in words."""
    if probability <= SIGNIFICANT:
        return Verdict.SIGNIFICANT
    return Verdict.INCONCLUSIVE if probability <= INCONCLUSIVE else Verdict.AS_EXPECTED


def _against(sounds: Countable, sought: Sought, between: int, wanted: int, exact: bool) -> Weighed:
    best, highest = np.zeros(0), 0.0
    where: tuple[str, HitKind] | None = None
    chances: dict[tuple[str, HitKind], Chance] = {}
    for cipher, kind, counts, scores in _scores(sounds, sought, between, wanted, exact):
        as_good, others = int((scores[1:] >= scores[0]).sum()), len(scores) - 1
        mean = float(counts[1:].mean()) if others else 0.0
        chances[cipher, kind] = Chance(int(counts[0]), mean, as_good, others)
        if counts[0] and (where is None or scores[0] > highest):
            where, highest = (cipher, kind), float(scores[0])
        best = np.maximum(best, scores) if len(best) else np.maximum(scores, 0.0)
    cipher, found = where if where is not None else ("", None)
    return Weighed(sought.name, cipher, found, int((best[1:] >= best[0]).sum()), len(best) - 1, chances)


def _scores(
    sounds: Countable, sought: Sought, between: int, wanted: int, exact: bool
) -> Iterator[tuple[str, HitKind, Ints, Floats]]:
    """For each cipher and kind the counts and the scores, the name's own first."""
    style = Style(sounds)
    drawn = decoys(sought, sounds, wanted)
    for number, (subject, others) in enumerate(zip(sought.subjects, drawn, strict=True)):
        keys = np.concatenate((own_keys(subject), others))
        for kind, counts in _counts(sounds, keys, between, exact):
            set_back = sum(_HANDICAP.get(part, 0.0) for part in (kind.form, kind.closeness, kind.spacing))
            scores = _score(counts, style.expected(kind, keys, between))
            yield subject.cipher, kind, counts, scores - set_back - _OTHER_CIPHER * (number > 0)


def _counts(sounds: Countable, keys: Ints, between: int, exact: bool) -> Iterator[tuple[HitKind, Ints]]:
    if exact:
        return sounds.exact(keys)
    assert isinstance(sounds, Sounds)
    return counted(sounds, keys, between)


def _score(counts: Ints, expected: Floats) -> Floats:
    """How surprising counts are, as powers of ten.

    Counts are taken for geometric, P(N >= n) = (E/(1 + E))^n: music comes in clumps, and the expected number is only
    nearly known. Where the yardstick is too short, so that more than one in a hundred scores 2, all are scaled.
    """
    weight = np.where(counts > 0, 1 + (counts - 1) * _AGAIN, 0)
    scores = np.asarray(weight * np.log10(1 + 1 / np.maximum(expected, 1e-290)))
    place = len(scores) - 1 - int(len(scores) * _RARE)
    usual = float(np.partition(scores, place)[place])
    return scores * min(1.0, -np.log10(_RARE) / usual) if usual > 0 else scores
