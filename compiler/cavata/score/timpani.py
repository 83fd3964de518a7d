"""Timpani in a placed score: which strokes they have, and how their drums are tuned for them.

In: a movement and the staff of a set of timpani. Out: its tuning, in seconds from the movement's beginning, played
straight on.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.instruments.timpani import DrumTuning, TimpaniStroke, tuning
from cavata.record import replace
from cavata.score.clock import Clock
from cavata.score.score import Movement, Part, ScoreEvent, Staff


def is_timpani(part: Part) -> bool:
    """Whether a part is played on drums that are tuned."""
    return bool(part.instrument.drums)


def drums_tuned(movement: Movement, staff: Staff, part: Part) -> DrumTuning:
    """The tuning of a movement."""
    return tuning(strokes_of(movement, staff), part.instrument.drums)


def strokes_of(movement: Movement, staff: Staff) -> list[TimpaniStroke]:
    """What is struck, in order."""
    clock = Clock(movement)
    struck: dict[Fraction, TimpaniStroke] = {}
    for voice in staff.voices:
        before: ScoreEvent | None = None
        for event in voice:
            if not event.event.heads:
                continue
            pitches = tuple(head.pitch for head in event.event.heads)
            slid = before is not None and before.event.marks.glides
            here = struck.get(event.onset)
            rolled = any(ornament.kind == "tremolo" for ornament in event.event.marks.ornaments)
            stroke = TimpaniStroke(
                clock.between(Fraction(0), event.onset), clock.between(Fraction(0), event.end), pitches, slid, rolled
            )
            struck[event.onset] = stroke if here is None else replace(
                here, pitches=here.pitches + pitches, end=max(here.end, stroke.end), rolled=here.rolled or rolled
            )  # fmt: skip
            before = event
    return [struck[onset] for onset in sorted(struck)]
