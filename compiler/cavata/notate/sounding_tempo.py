"""How fast the music goes where nothing is printed: for programs that play the page.

In: the tempi of a movement. Out: moments, and the seconds of a whole note from each on. A tempo that only goes on from
the movement before is among them, and a change of tempo is a stair whose steps take just as long as the change.
Fermatas are left to who plays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.score.score import Tempo

STEP = Fraction(1, 8)
"""How often the tempo is set anew while it changes, in whole notes."""


def sounding_tempi(tempi: Sequence[Tempo], end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Onset and seconds of a whole note, in order, up to the end of the movement."""
    onsets = [*(tempo.onset for tempo in tempi), end]
    for tempo, (onset, following) in zip(tempi, pairwise(onsets), strict=True):
        arrives = min(tempo.until or onset, following)
        now = onset
        while now < arrives:
            after = min(now + STEP, arrives)
            yield now, (tempo.seconds_at(now) + tempo.seconds_at(after)) / 2
            now = after
        if now < following:
            yield now, tempo.seconds_at(now)
