"""Upbeats of a section: how much of its lines lies before its first bar.

In: the planned lines of a section and its bars. Out: the longest upbeat, and the item that has it. Source: common
practice: a strophe that begins with an upbeat has a last bar that is shorter by as much.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import Music, PlannedItem, PlannedLine
from cavata.music.event import Rhythm
from cavata.place.bars import Ruler
from cavata.record import record
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import fraction_text


def upbeat_of(value: Music) -> Fraction:
    """How much of a value lies before its first bar line, in whole notes."""
    return Fraction(0) if isinstance(value, Rhythm) else value.upbeat


def opening_upbeat(line: PlannedLine, ruler: Ruler) -> Fraction:
    """The upbeat with which a line begins; free time has no bars that it could lead to."""
    first = line.items[0] if line.items else None
    return upbeat_of(first.value) if isinstance(first, t.Item) and not ruler.is_free else Fraction(0)


@record
class Lead:
    """How much before its first bar a section begins, and which item asks for it; none where nothing does."""

    length: Fraction = Fraction(0)
    span: Span | None = None


def lead_of(lines: Iterable[PlannedLine], ruler: Ruler, begin: Callable[[PlannedLine], Fraction]) -> Lead:
    """The longest upbeat before a section's first bar; `begin` tells where a line begins in the section."""
    found = Lead()
    for line in lines:
        if opening_upbeat(line, ruler):
            length = ruler.pickup - begin(line)
            if length > found.length:
                found = Lead(length, line.items[0].span)
    return found


def checked(lead: Lead, ruler: Ruler, pickup: Span | None, bag: Diagnostics) -> Lead:
    """The upbeat of a section if there can be such a one; it must fit a `pickup` row, whose place is given."""
    if lead.span is None:
        return lead
    if lead.length >= ruler.length(1):
        bag.error(
            "P833", lead.span, f"an upbeat of {fraction_text(lead.length)} is no shorter than a bar",
            label=f"the bar has {ruler.meter(1)}", cure="write the whole bar out, with rests before the notes",
        )  # fmt: skip
        return Lead()
    if pickup is not None and lead.length > ruler.pickup:
        bag.error(
            "P831", lead.span, f"this upbeat of {fraction_text(lead.length)} is longer than the pickup",
            label=f"the pickup lasts {fraction_text(ruler.pickup)}",
            cure=f"write `pickup {fraction_text(lead.length)}`, or leave the row out",
            also=((pickup, "the pickup"),),
        )  # fmt: skip
    return lead


# ------------------------------------------------------------------ upbeats inside a line


def given_way(upbeat: Fraction, at: Fraction, rested: Fraction, ruler: Ruler) -> Fraction:
    """Where an item begins after a rest: one that ends with a bar gives way to the upbeat of the item after it."""
    gives_way = upbeat <= rested and ruler.begins_bar(at) and not ruler.begins_bar(at + upbeat)
    return at - upbeat if gives_way else at


@record
class UpbeatMisfit:
    """An upbeat that leads to no bar line."""

    item: PlannedItem
    upbeat: Fraction
    again: bool
    """It does at the first time, but not where the item is repeated."""


def misfit(item: PlannedItem, at: Fraction, turn: Fraction, length: Fraction, ruler: Ruler) -> UpbeatMisfit | None:
    """What does not fit of an item at a place, whose turns are so long and which lasts so long in all."""
    upbeat = upbeat_of(item.value)
    if not upbeat or ruler.is_free:
        return None
    try:
        if not ruler.begins_bar(at + upbeat):
            return UpbeatMisfit(item, upbeat, False)
        if length > turn and not ruler.begins_bar(at + turn + upbeat):
            return UpbeatMisfit(item, upbeat, True)
    except Refusal:
        pass  # it goes beyond the last bar that there can be, which is reported where it is laid
    return None


def report_misfit(wrong: UpbeatMisfit, bag: Diagnostics) -> None:
    """Warn of an upbeat that leads to no bar line."""
    length = fraction_text(wrong.upbeat)
    bag.warning(
        "P832", wrong.item.span,
        f"this upbeat of {length} leads to no bar line" + (" where it comes again" if wrong.again else ""),
        label="its last bar is not shorter by as much" if wrong.again else "what stands before it ends elsewhere",
        cure=f"let {'it' if wrong.again else 'what stands before it'} end {length} before a bar is full, "
        "or write its notes without `|`",
    )  # fmt: skip
