"""The repeat sign of a section that begins with an upbeat: it stands inside the last bar.

In: a planned section, its length, and its laid lines. Out: where the sign stands, events that end there, and what
begins behind it. Source: common practice: the upbeat of the next time completes the bar.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.evaluate.plan import PlannedSection
from cavata.music.event import Motif, Rhythm, Texture
from cavata.place.dealing import Dealt
from cavata.place.lines import Laid
from cavata.record import replace
from cavata.syntax import tree as t


def sign_of(planned: PlannedSection, lead: Fraction, length: Fraction) -> Fraction | None:
    """Where the repeat sign of a section that begins with an upbeat stands inside its last bar; None for no such sign.

    The upbeat completes that bar when it is played again.
    """
    repeats = planned.repeats
    if not lead or not repeats or any(isinstance(row, t.Ending) for row in repeats):
        return None
    return length - lead


def up_to(dealt: Dealt, sign: Fraction) -> Dealt:
    """An event that lasts no longer than to a repeat sign which it would go beyond."""
    if not dealt.onset < sign < dealt.onset + dealt.event.duration:
        return dealt
    return replace(dealt, event=dealt.event.lasting(sign - dealt.onset))


def sounding_onsets(laid: Laid) -> Iterator[Fraction]:
    """Where each sounding event of an item begins, from its section's beginning."""
    value = laid.value
    lines = value.lines if isinstance(value, Texture) else (value.beats if isinstance(value, Rhythm) else value.events,)
    for line in lines:
        onset = laid.onset
        for event in line.events if isinstance(line, Motif) else line:
            if not event.is_rest:
                yield onset
            onset += event.duration
