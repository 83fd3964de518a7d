"""Where a repeated section goes back, and what would sound on beyond it.

In: a planned section, its length, and its laid lines. Out: where its signs stand, events that end there, and what
begins behind them. Where it begins with an upbeat, the sign stands inside the last bar. Source: common practice: the
upbeat of the next time completes the bar. What would sound on from one ending into the next, or over the sign before
such an upbeat, is cut, on the page as in the playing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import PlannedSection
from cavata.music.event import Motif, Rhythm, Texture
from cavata.place.bars import Repeat, Ruler
from cavata.place.dealing import Dealt
from cavata.place.lines import Laid, LaidLine
from cavata.record import record, replace
from cavata.score.score import ScoreEvent
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


def up_to(dealt: Dealt, end: Fraction) -> Dealt:
    """An event that lasts no longer than to a moment, as of a repeat sign, which it would go beyond."""
    if not dealt.onset < end < dealt.onset + dealt.event.duration:
        return dealt
    return replace(dealt, event=dealt.event.lasting(end - dealt.onset))


@record
class CutSign:
    """A repeat sign that nothing is held over: between two endings, or before an upbeat that is played again."""

    times: tuple[int, ...]
    """At which times through the ending before it is played; empty before an upbeat."""
    onset: Fraction
    """In the movement."""

    @property
    def place(self) -> str:
        """What it is that goes no further."""
        return f"ending {', '.join(map(str, self.times))}" if self.times else "the sign before a repeated upbeat"


def sign_of_upbeat(repeat: Repeat | None, ruler: Ruler, lead: Fraction, onset: Fraction) -> tuple[CutSign, ...]:
    """The sign before the upbeat, `lead`, of a section with this onset, if it is played again.

    What was struck before it has no beginning where the playing goes back to it.
    """
    return (CutSign((), onset + ruler.pickup - lead),) if repeat is not None and lead else ()


def signs_of_endings(repeat: Repeat | None, ruler: Ruler, section_onset: Fraction) -> tuple[CutSign, ...]:
    """The signs between the endings of a section, in order."""
    endings = repeat.endings[:-1] if repeat is not None else ()
    return tuple(CutSign(ending.passes, section_onset + ruler.onset(ending.last + 1)) for ending in endings)


class Cuts:
    """Lets what would sound on end at a sign that nothing is held over; tells it once an item."""

    def __init__(self, bag: Diagnostics) -> None:
        self.bag = bag
        self.told: set[tuple[Span, Fraction]] = set()

    def cut(self, dealt: Dealt, signs: Sequence[CutSign]) -> Dealt:
        """An event as long as these signs let it last."""
        sign = self._crossed(dealt.laid.item.span, dealt.onset, dealt.onset + dealt.event.duration, signs)
        return dealt if sign is None else up_to(dealt, sign.onset)

    def cut_before(self, events: Iterable[list[ScoreEvent]], signs: Sequence[CutSign]) -> None:
        """Cut what sounds on from the sections before, on each staff."""
        for on_staff in events if signs else ():
            for index, event in enumerate(on_staff):
                sign = self._crossed(event.line, event.onset, event.end, signs)
                if sign is not None:
                    on_staff[index] = event.up_to(sign.onset)

    def _crossed(self, span: Span, onset: Fraction, end: Fraction, signs: Sequence[CutSign]) -> CutSign | None:
        """The first sign that lies between two moments of an item, told."""
        sign = next((sign for sign in signs if onset < sign.onset < end), None)
        if sign is not None and (span, sign.onset) not in self.told:
            self.told.add((span, sign.onset))
            where = "at its repeat sign" if sign.times else "there"
            self.bag.warning(
                "P835", span, f"this sounds on beyond {sign.place}, and is cut {where}",
                label=f"longer by {fraction_text(end - sign.onset)}",
                cure="let it end with the ending, and give the next ending a note of its own" if sign.times
                else "let it end at the sign, and let another note begin with the upbeat",
            )  # fmt: skip
        return sign


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
class EndSign:
    """Where a section goes back at its end."""

    section: str
    span: Span
    onset: Fraction
    """In the movement."""


def has_room(
    planned: PlannedSection, upbeat: Fraction, onset: Fraction, before: EndSign | None, bag: Diagnostics
) -> bool:
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
    """Warn of an item that has notes after the repeat sign in the last bar, which stands so far into the section."""
    for laid in line.items:
        if laid.end > sign and any(sign <= onset for onset in sounding_onsets(laid)):
            bag.warning(
                "P835", laid.item.span, "this goes on behind the repeat sign, and sounds there the last time only",
                label=f"longer by {fraction_text(laid.end - sign)}",
                cure="let its last bar be shorter by the upbeat, or give the section an `ending` for each time",
            )  # fmt: skip
