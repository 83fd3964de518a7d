"""The copies that one build hands out, each a score of its own: drawn from the whole before anything is notated.

In: the score at concert pitch, and what is wanted. Out: copies in the order in which they are made; the notation
pass and the emitters treat each like any score, and see by `Header.kind` for whom it is.
"""

from __future__ import annotations

from cavata.place.score import Score
from cavata.value import dataclass


@dataclass(frozen=True, slots=True)
class Copy:
    """One score to be notated and written."""

    suffix: str
    """What follows the name of the piece in its files' names: empty for the full score, `-horn1` for a part."""
    score: Score


def copies(score: Score) -> tuple[Copy, ...]:
    """The full score."""
    return (Copy("", score),)
