"""What stands on the page before the music, beside the titles: forces, length, movements, and how to read the score.

In: a score. Out: a `TitlePage`, words only. The length is said as honestly as it is known: rounded to what a
performance keeps, and `about` unless the time is exactly the figure, for tempi are kept more or less, and fermatas,
free time and changes of tempo are estimates.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.edition.instrumentation import forces_list, instrumentation
from cavata.instruments.instrument import PageLanguage
from cavata.score.clock import length
from cavata.score.page_words import page_words
from cavata.score.score import Header, Movement, Score, TitlePage
from cavata.text import heading

_FINE, _HALVES = 60, 300
"""Seconds: below the first a length is told in steps of five seconds, below the second in half minutes, then in
minutes."""
_OCTAVE = 12


def title_page(score: Score) -> TitlePage:
    """The title page of a score."""
    short = instrumentation(score)
    forces = forces_list(score)
    several = len(score.movements) > 1
    return TitlePage(
        short,
        () if ", ".join(forces).lower() == short.lower() or len(score.players) < 2 else forces,
        length_of_piece(score),
        tuple(
            (heading(movement.title, movement.name), length_of_movement(movement, score.header.language))
            for movement in score.movements
        ) if several else (),
        tuple(_notes(score)),
        tuple(_people(score.header)),
    )  # fmt: skip


def _people(header: Header) -> Iterator[str]:
    for key, name in (("words", header.poet), ("arrangement", header.arranger)):
        if name.strip():
            yield page_words(header.language, "people", key, name=name)


def _notes(score: Score) -> list[str]:
    header = score.header
    notes = []
    transposing = [
        part for part in score.parts if part.instrument.transposition.semitones % _OCTAVE
    ]
    if transposing:
        notes.append("sounding" if header.concert_score else "transposing")
    if header.colors:
        notes.append("colors")
    if header.show_letters:
        notes.append("letters")
    said = [page_words(header.language, "reading", note) for note in notes]
    return [*said, header.foot] if header.foot else said


def length_of_piece(score: Score) -> str:
    """The length of all movements together, as `about 7 minutes`; nothing where there is no music."""
    seconds = sum((length(movement) for movement in score.movements), Fraction(0))
    if not seconds:
        return ""
    return _about(seconds, any(_is_estimate(movement) for movement in score.movements), score.header.language)


def length_of_movement(movement: Movement, language: PageLanguage) -> str:
    """The length of one movement."""
    return _about(length(movement), _is_estimate(movement), language)


def _about(seconds: Fraction, estimate: bool, language: PageLanguage) -> str:
    unit = 5 if seconds < _FINE - 2 else 30 if seconds < _HALVES else 60
    rounded = max(1, _nearest(seconds / unit)) * unit
    text = _said(rounded, language)
    if rounded == seconds and not estimate:
        return text
    return page_words(language, "lengths", "about", length=text)


def _nearest(value: Fraction) -> int:
    """The nearest whole number, a half upward."""
    return (value + Fraction(1, 2)).__floor__()


def _said(seconds: int, language: PageLanguage) -> str:
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
