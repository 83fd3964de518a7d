"""The repeat sign of a section that begins with an upbeat: it stands inside the last bar.

In: a planned section, its length, and its laid lines. Out: where the sign stands, events that end there, and what
begins behind it. Source: common practice: the upbeat of the next time completes the bar.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import PlannedSection
from cavata.music.event import Motif, Rhythm, Texture
from cavata.place.dealing import Dealt
from cavata.place.lines import Laid, LaidLine
from cavata.record import record, replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import fraction_text


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


@record
class Sign:
    """Where a section goes back at its end."""

    section: str
    span: Span
    onset: Fraction
    """In the movement."""


def has_room(planned: PlannedSection, upbeat: Fraction, onset: Fraction, before: Sign | None, bag: Diagnostics) -> bool:
    """Whether a section's upbeat can lie before its onset; a repeat sign there stands before the upbeat, or is told."""
    if upbeat > onset:
        bag.error(
            "P306", planned.span, "there is no room for the upbeat of this section",
            label=f"it lasts {upbeat}", cure="let a section of at least a bar stand before it",
        )
        return False
    if upbeat and before is not None and onset - upbeat < before.onset:
        left = fraction_text(onset - before.onset) if onset > before.onset else "nothing"
        bag.warning(
            "P834", planned.span, f"the upbeat of this section is played each time through `{before.section}`",
            label=f"it lasts {fraction_text(upbeat)}, and {left} is left after the repeat sign",
            cure=f"let `{before.section}` begin with an upbeat as long, or give it an `ending` for each time",
            also=((before.span, "repeated"),),
        )  # fmt: skip
    return True


def warn_beyond(line: LaidLine, sign: Fraction, bag: Diagnostics) -> None:
    """Warn of an item that has notes after the repeat sign, which stands so far into the section."""
    for laid in line.items:
        if laid.end > sign and any(sign <= onset for onset in sounding_onsets(laid)):
            bag.warning(
                "P835", laid.item.span, "this goes on behind the repeat sign, and sounds there the last time only",
                label=f"longer by {fraction_text(laid.end - sign)}",
                cure="let its last bar be shorter by the upbeat, or give the section an `ending` for each time",
            )  # fmt: skip
