"""Fermatas over rests: the events of a staff that are silences with a sign.

In: a written staff, the staff of the score, the movement's spans. Out: the same staff, each such sign at the rest that
ends where the waiting ends, or that holds this moment. Where no rest is written there, nothing is printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm

from cavata.notate.bar_spelling import spell_bar
from cavata.notate.frames import WrittenSpan
from cavata.notate.written import SHORTEST, Frame, Leaf, Tuplet, WrittenBar, WrittenItem, WrittenStaff, length_of
from cavata.record import replace
from cavata.score.score import Movement, ScoreEvent, Staff

_FINEST = 16
"""A rest is divided for one fermata into values of this part of a whole note or longer, as a held note is."""

# ----------------------------------------------------------------
# Rests of several bars: in a part, empty bars that follow one another are written as one rest with its number.
#
# In: the frames of a movement and the staves of one part. Out: the same staves, each bar with how many it stands for. A
# player counts from what can be seen or heard, so the rest is broken wherever the page says something: at rehearsal
# marks, tempi and where a change of tempo arrives, meters, keys, repeats, double bars, cues, fermatas, and changes of
# a harp's pedals or of the tuning of timpani; a pickup and free time stand alone. Source: common practice.


def gathered(
    staves: tuple[WrittenStaff, ...], frames: Sequence[Frame], spans: Sequence[WrittenSpan], movement: Movement
) -> tuple[WrittenStaff, ...]:
    """The staves with their empty bars gathered, all at the same places."""
    arrivals = {tempo.until for tempo in movement.tempi if tempo.printed and tempo.until is not None}
    arriving = [any(span.onset <= moment < span.end for moment in arrivals) for span in spans]
    counts = [1] * len(frames)
    first: int | None = None
    for place, frame in enumerate(frames):
        empty = all(_is_empty(staff.bars[place]) for staff in staves) and not _stands_alone(frame)
        goes_on = (
            empty and first is not None and place > 0
            and _leads_on(frames[place - 1], frame) and not arriving[place]
            and all(staff.bars[place].key is None and not _opens_a_rest(staff.bars[place]) for staff in staves)
        )  # fmt: skip
        if goes_on and first is not None:
            counts[first] += 1
            counts[place] = 0
        else:
            first = place if empty else None
    return tuple(
        replace(staff, bars=tuple(
            bar if count == 1 else replace(bar, rest_bars=count) for bar, count in zip(staff.bars, counts, strict=True)
        )) for staff in staves
    )  # fmt: skip


def _opens_a_rest(bar: WrittenBar) -> bool:
    """Whether something is said at its beginning to a player who may rest: of pedals or of drums."""
    return bool(bar.pedals) or any(isinstance(item, Leaf) and bool(item.tuning) for item in bar.voices[0])


def _is_empty(bar: WrittenBar) -> bool:
    """Whether a plain whole-bar rest is all there is."""
    if any(sign.offset for sign in bar.pedals):
        return False
    if bar.cue or bar.ossia or any(bar.voices[1:]) or len(bar.voices[0]) != 1:
        return False
    only = bar.voices[0][0]
    return isinstance(only, Leaf) and only.whole_bar and not only.heads and not only.marks


def _stands_alone(frame: Frame) -> bool:
    """Whether something is printed inside the bar, or it is no bar of its meter."""
    within = any(offset for offset, tempo in frame.tempi if tempo.printed)
    return within or frame.meter is None or frame.duration != frame.meter.duration


def _leads_on(before: Frame, frame: Frame) -> bool:
    """Whether nothing is printed at the bar line between two bars."""
    said = (
        frame.section or frame.rehearsal or frame.shows_meter or frame.repeat_begins or frame.ending
        or frame.opens or before.closes
        or any(tempo.printed for _, tempo in frame.tempi) or frame.number != before.number + 1
    )  # fmt: skip
    return not said and before.barline == "single" and not before.repeat_ends and not before.ending_stops


# ----------------------------------------------------------------

def with_fermata_rests(written: WrittenStaff, staff: Staff, spans: Sequence[WrittenSpan]) -> WrittenStaff:
    """The staff with the fermatas of its silences: a rest that goes on beyond one, or has several, is divided there.

    The rest of a whole bar stays as it is for one: the sign over it means the bar.
    """
    silences = [event for voice in staff.voices for event in voice if event.event.is_rest]
    if not silences:
        return written
    bars = list(written.bars)
    for place, span in enumerate(spans):
        ends = sorted({event.end - span.onset for event in silences if span.onset < event.end <= span.end})
        if ends:
            first, *others = bars[place].voices
            bars[place] = replace(bars[place], voices=(tuple(_with_rests(first, ends, span)), *others))
    for event in silences:
        for place, span in enumerate(spans):
            if span.onset < event.end <= span.end:
                first, *others = bars[place].voices
                marked = _marked(first, event, event.end - span.onset + span.lead, span.duration)
                bars[place] = replace(bars[place], voices=(marked, *others))
    return replace(written, bars=tuple(bars))


def _with_rests(items: tuple[WrittenItem, ...], ends: Sequence[Fraction], span: WrittenSpan) -> Iterator[WrittenItem]:
    """The items, a rest in which a moment is waited for as one rest that ends there and one after it."""
    now = -span.lead
    for item in items:
        whole = isinstance(item, Leaf) and item.whole_bar
        over = now + (span.duration if whole else length_of(item))
        inside = [end for end in ends if now < end <= over]
        if isinstance(item, Leaf) and not item.heads and not item.marks and _is_divided(inside, now, over, whole, span):
            moments = sorted({now, *inside, over})
            lengths = [end - begin for begin, end in pairwise(moments)]
            unit = lcm(*(length.denominator for length in lengths))
            meter = span.bar.meter if whole else None
            spelling = spell_bar(meter, False, unit, tuple(-int(length * unit) for length in lengths))
            if not spelling.folds and all(slot.base >= SHORTEST for slot in spelling.slots):
                yield from (Leaf(slot.base, slot.dots) for slot in spelling.slots)
                now = over
                continue
        yield item
        now = over


def _is_divided(inside: Sequence[Fraction], now: Fraction, over: Fraction, whole: bool, span: WrittenSpan) -> bool:
    """Whether a rest is divided for the moments inside it: for one, where both rests are easily read."""
    if len(inside) != 1 or (whole and span.bar.meter is not None):
        return len(inside) > 1
    lengths = (inside[0] - now, over - inside[0])
    return lengths[1] > 0 and all((length * _FINEST).denominator == 1 for length in lengths)


def _marked(
    items: tuple[WrittenItem, ...], event: ScoreEvent, end: Fraction, whole: Fraction
) -> tuple[WrittenItem, ...]:
    """The items with the sign at the rest that lasts up to a moment or over it."""
    now = Fraction(0)
    for place, item in enumerate(items):
        length = whole if isinstance(item, Leaf) and item.whole_bar else length_of(item)
        if now < end <= now + length:
            return (*items[:place], _signed(item, event, end - now), *items[place + 1 :])
        now += length
    return items


def _signed(item: WrittenItem, event: ScoreEvent, end: Fraction) -> WrittenItem:
    if isinstance(item, Tuplet):
        scale = Fraction(item.actual, item.normal)
        return replace(item, items=_marked(item.items, event, end * scale, Fraction(0)))
    return item if item.heads else replace(item, marks=event.event.marks)
