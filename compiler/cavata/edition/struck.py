"""What is struck and not held is written as one note, however long the script lets it last.

In: a score. Out: the same with the notes of unpitched instruments cut where they would be tied: at the bar line, and to
one note value. A roll stays as long as it is, and so does what is held by its nature, as a siren, or has a sign that
needs its length. What rings on, as a cymbal, has the short tie of what rings. How long it sounds is not touched: this
is for the page alone. Source: common practice, as a tie asks a drummer for nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.instruments.instrument import Instrument, Sustain
from cavata.music.lengths import is_plain
from cavata.record import replace
from cavata.score.score import Movement, Part, Score, ScoreBar, ScoreEvent, Staff, bar_at

_RINGS = "let_ring"


def with_struck_notes(score: Score) -> Score:
    """The score, its struck notes cut."""
    if not any(_is_struck(part.instrument) for part in score.parts):
        return score
    return replace(score, movements=tuple(_movement(movement, score.parts) for movement in score.movements))


def _is_struck(instrument: Instrument) -> bool:
    return instrument.unpitched and instrument.tone is not Sustain.HELD


def _movement(movement: Movement, parts: Sequence[Part]) -> Movement:
    staves = tuple(
        tuple(_staff(staff, part.instrument, movement.bars) for staff in own) if _is_struck(part.instrument) else own
        for part, own in zip(parts, movement.staves, strict=True)
    )
    return replace(movement, staves=staves)


def _staff(staff: Staff, instrument: Instrument, bars: Sequence[ScoreBar]) -> Staff:
    voices = tuple(tuple(_struck(event, instrument, bars) for event in voice) for voice in staff.voices)
    return replace(staff, voices=voices)


def _struck(event: ScoreEvent, instrument: Instrument, bars: Sequence[ScoreBar]) -> ScoreEvent:
    marks = event.event.marks
    lasts = (
        event.tied_before or event.tied_after or marks.hairpin or marks.hairpin_ends or marks.goal
        or "fermata" in marks.articulations or any(ornament.kind == "tremolo" for ornament in marks.ornaments)
    )  # fmt: skip
    if lasts or not event.event.heads:
        return event
    length = _written(event, bar_at(bars, event.onset))
    if length == event.event.duration:
        return event
    if instrument.tone is Sustain.RINGS and _RINGS not in marks.articulations:
        marks = replace(marks, articulations=(*marks.articulations, _RINGS))
    return replace(event, event=replace(event.event, duration=length, marks=marks))


def _written(event: ScoreEvent, bar: ScoreBar) -> Fraction:
    """How long the first of the tied notes would be, or shorter, so that it stands alone on its place in the bar."""
    left = bar.end - event.onset
    length = min(event.event.duration, left)
    if bar.meter is None or (length == event.event.duration and _is_one_value(length)):
        return event.event.duration
    place = event.onset - bar.onset
    if not (is_plain(length) and is_plain(place)):
        return event.event.duration
    if not place and _is_one_value(length):
        return length
    value = Fraction(1)
    while value > length or place % value:
        value /= 2
    return value


def _is_one_value(length: Fraction) -> bool:
    """Whether an undotted or a dotted note is as long."""
    return length.numerator in (1, 3) and is_plain(length)
