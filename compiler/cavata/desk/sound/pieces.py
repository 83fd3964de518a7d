"""A movement cut into pieces of some seconds, each of which is played by itself.

In: a movement as it is played. Out: its pieces: whole bars, or parts of a bar that is long. Nothing but the bars and
tempi written there decides where a piece begins, counted anew from every section; so a change elsewhere moves none.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.record import record
from cavata.score.score import Movement, Tempo

LEAST, MOST = Fraction(3, 2), Fraction(4)
"""Seconds at the written tempo: shorter bars are joined, longer ones divided."""
_BEAT = Fraction(1, 4)


@record
class SoundPiece:
    """A stretch of a movement as it is played, in whole notes."""

    begin: Fraction
    end: Fraction
    bar: int
    """The index of the bar in which it begins."""


def pieces_of(movement: Movement) -> tuple[SoundPiece, ...]:
    """The pieces of a movement, without gap from its beginning to its end."""
    cuts = [*_cuts(movement), (movement.duration, len(movement.bars))]
    return tuple(
        SoundPiece(begin, end, bar) for (begin, bar), (end, _) in zip(cuts, cuts[1:], strict=False) if begin < end
    )


def _cuts(movement: Movement) -> Iterator[tuple[Fraction, int]]:
    """Where pieces begin, each with the index of its bar."""
    sections = {section.onset for section in movement.sections}
    waiting = LEAST
    """Seconds since the last cut."""
    for index, bar in enumerate(movement.bars):
        if waiting >= LEAST or bar.onset in sections:
            yield bar.onset, index
            waiting = Fraction(0)
        seconds = bar.duration * _tempo(movement, bar.onset).seconds_at(bar.onset)
        waiting += seconds
        if seconds > MOST:
            parts = -(-seconds // MOST)
            step = -(-bar.duration / parts // _BEAT) * _BEAT
            now = bar.onset + step
            while now < bar.onset + bar.duration:
                yield now, index
                waiting = seconds * (bar.onset + bar.duration - now) / bar.duration
                now += step


def _tempo(movement: Movement, onset: Fraction) -> Tempo:
    return next(tempo for tempo in reversed(movement.tempi) if tempo.onset <= onset)
