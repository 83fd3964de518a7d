"""How long a piece takes, said as honestly as it is known.

In: the score. Out: words, as `about 7 minutes`. A figure is rounded to what a performance keeps: five seconds under a
minute, half a minute up to five, then whole minutes. It says `about` unless the time is exactly the figure: tempi are
kept more or less, and fermatas, free time and changes of tempo are estimates.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.instruments.language import Language
from cavata.score.clock import length
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Score

_FINE, _HALVES = 60, 300
"""Seconds: below the first a length is told in seconds, below the second in half minutes."""


def length_of_piece(score: Score) -> str:
    """The length of all movements together, as `about 7 minutes`; nothing where there is no music."""
    seconds = sum((length(movement) for movement in score.movements), Fraction(0))
    if not seconds:
        return ""
    return _about(seconds, any(_is_estimate(movement) for movement in score.movements), score.header.language)


def length_of_movement(movement: Movement, language: Language) -> str:
    """The length of one movement."""
    return _about(length(movement), _is_estimate(movement), language)


def _about(seconds: Fraction, estimate: bool, language: Language) -> str:
    unit = 5 if seconds < _FINE - 2 else 30 if seconds < _HALVES else 60
    rounded = max(1, _nearest(seconds / unit)) * unit
    text = _said(rounded, language)
    if rounded == seconds and not estimate:
        return text
    return page_words(language, "lengths", "about", length=text)


def _nearest(value: Fraction) -> int:
    """The nearest whole number, a half upwards."""
    return (value + Fraction(1, 2)).__floor__()


def _said(seconds: int, language: Language) -> str:
    if seconds < _FINE:
        return page_words(language, "lengths", "seconds", count=seconds)
    minutes, rest = divmod(seconds, 60)
    if minutes == 1:
        return page_words(language, "lengths", "one_and_a_half" if rest else "one_minute")
    return page_words(language, "lengths", "minutes", count=f"{minutes}{'½' if rest else ''}")


def _is_estimate(movement: Movement) -> bool:
    """Something in it lasts as long as the players like: a fermata, free time, a tempo that changes or is not given."""
    return (
        any(bar.meter is None for bar in movement.bars)
        or any(not tempo.metronome or tempo.until is not None for tempo in movement.tempi)
        or any(
            event.event.marks.held or "fermata" in event.event.marks.articulations
            for event in movement.events
        )
    )
