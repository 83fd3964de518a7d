"""What both hands of one player are told, told once.

In: the staves of a part. Out: the same staves; where there are two, the lower one is without the dynamics, hairpins and
words that the upper one has at the same moment: they stand between the staves and are read for both. Source: common
practice. What sounds is not looked at here: each hand keeps its dynamic in the score.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.place.voices import said_once
from cavata.record import replace
from cavata.score.score import Staff


def told_once(staves: Sequence[Staff]) -> tuple[Staff, ...]:
    """The staves of one player, as they are written."""
    if len(staves) != 2:
        return tuple(staves)
    upper, lower = staves
    above = sorted((event for voice in upper.voices for event in voice), key=lambda event: (event.onset, -event.voice))
    if not above:
        return upper, lower
    return upper, replace(lower, voices=tuple(said_once(above, voice) for voice in lower.voices))
