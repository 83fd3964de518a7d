"""The lines that parts sing or play, for whoever looks at how they move.

In: a movement. Out: for each voice of each part its events in order; places in the words of a message.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.names.program import PartStaff
from cavata.names.promised import Where
from cavata.record import dataclass
from cavata.score.score import Movement, Score, ScoreEvent, bar_at
from cavata.score.whereabouts import beat_text


@dataclass(frozen=True, slots=True)
class PartLine:
    """One voice of a staff of a part."""

    part: str
    events: tuple[ScoreEvent, ...]


def lines_of(score: Score, movement: Movement, targets: tuple[PartStaff, ...]) -> Iterator[PartLine]:
    """The voices of parts, or of one staff of them, in the order in which they are named."""
    indices = {part.name: index for index, part in enumerate(score.parts)}
    for target in targets:
        for staff in movement.staves[indices[target.part]]:
            if target.staff in ("", staff.name):
                yield from (PartLine(target.part, voice) for voice in staff.voices if voice)


def bounds(movement: Movement, section: str) -> tuple[Fraction, Fraction]:
    """Where a section begins and ends; without a name the whole movement."""
    if not section:
        return Fraction(0), movement.duration
    number = next(index for index, found in enumerate(movement.sections) if found.name == section)
    following = movement.sections[number + 1 : number + 2]
    return movement.sections[number].onset, following[0].onset if following else movement.duration


def stretches(score: Score, places: tuple[Where, ...]) -> Iterator[tuple[Movement, Fraction, Fraction]]:
    """The stretches that places mean; without any every movement."""
    if not places:
        for movement in score.movements:
            yield movement, Fraction(0), movement.duration
    for place in places:
        for movement in score.movements:
            if movement.name == place.movement:
                yield movement, *bounds(movement, place.section)


def place_in_words(movement: Movement, onset: Fraction) -> str:
    """`bar 3 beat 2 of opening`, as the script counts; free time has no bars."""
    bar = bar_at(movement.bars, onset)
    section = movement.sections[bar.section].name if bar.section < len(movement.sections) else ""
    where = f" of `{section or movement.name}`"
    if bar.meter is None:
        return f"{onset - bar.onset} after the beginning{where}"
    if not bar.bar_in_section:
        return f"the pick-up{where}"
    return f"bar {bar.bar_in_section} beat {beat_text(onset - bar.onset, bar.meter.denominator)}{where}"
