"""Fermatas over rests: the events of a staff that are silences with a sign.

In: a written staff, the staff of the score, the movement's spans. Out: the same staff, each such sign at the rest that
ends where the waiting ends, or that holds this moment. Where no rest is written there, nothing is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.notate.timeline import WrittenSpan
from cavata.notate.written import Item, Leaf, Tuplet, WrittenStaff, length_of
from cavata.record import replace
from cavata.score.score import ScoreEvent, Staff


def with_fermata_rests(written: WrittenStaff, staff: Staff, spans: Sequence[WrittenSpan]) -> WrittenStaff:
    """The staff with the fermatas of its silences."""
    silences = [event for voice in staff.voices for event in voice if event.event.is_rest]
    if not silences:
        return written
    bars = list(written.bars)
    for event in silences:
        for place, span in enumerate(spans):
            if span.onset < event.end <= span.end:
                first, *others = bars[place].voices
                marked = _marked(first, event, event.end - span.onset + span.lead, span.duration)
                bars[place] = replace(bars[place], voices=(marked, *others))
    return replace(written, bars=tuple(bars))


def _marked(items: tuple[Item, ...], event: ScoreEvent, end: Fraction, whole: Fraction) -> tuple[Item, ...]:
    """The items with the sign at the rest that lasts up to a moment or over it."""
    now = Fraction(0)
    for place, item in enumerate(items):
        length = whole if isinstance(item, Leaf) and item.whole_bar else length_of(item)
        if now < end <= now + length:
            return (*items[:place], _signed(item, event, end - now), *items[place + 1 :])
        now += length
    return items


def _signed(item: Item, event: ScoreEvent, end: Fraction) -> Item:
    if isinstance(item, Tuplet):
        scale = Fraction(item.actual, item.normal)
        return replace(item, items=_marked(item.items, event, end * scale, Fraction(0)))
    return item if item.heads else replace(item, marks=event.event.marks)
