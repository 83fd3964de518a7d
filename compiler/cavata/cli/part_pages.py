"""The pages of a part: engraved, and once more with other page breaks where a page could not be turned.

In: a written part and what engraves it. Out: the engraving, the reports of its layout taken out, and a warning for every
page that must still be turned while its player plays.
"""

from __future__ import annotations

from collections.abc import Callable

from cavata.diagnostics.record import Diagnostics
from cavata.engrave.engraving import Engraving, Failure
from cavata.engrave.layout import layout_of, without_reports
from cavata.notate.page_plan import Turn, bad_turns, with_turns_planned
from cavata.notate.written import WrittenScore

Engrave = Callable[[WrittenScore], Engraving | Failure]


def part_engraved(
    page: WrittenScore, first: Engraving | Failure, engrave: Engrave, bag: Diagnostics
) -> Engraving | Failure:
    """The part with the best turns that could be found; `first` is how it was set when nothing was asked of its pages."""
    if isinstance(first, Failure):
        return first
    turns = _turns(page, first)
    layout = layout_of(first)
    planned = with_turns_planned(page, layout) if layout else None
    if planned is not None:
        again = engrave(planned)
        if isinstance(again, Failure):
            return again
        better = _turns(planned, again)
        if len(better) < len(turns):
            first, turns = again, better
    for turn in turns:
        _warn(page, turn, bag)
    return without_reports(first)


def _turns(page: WrittenScore, engraving: Engraving) -> tuple[Turn, ...]:
    layout = layout_of(engraving)
    return bad_turns(page, layout) if layout else ()


def _warn(page: WrittenScore, turn: Turn, bag: Diagnostics) -> None:
    part = page.movements[0].parts[0].part
    bag.warning(
        "O122", part.span, f"`{part.name}` must turn a page while playing, after bar {turn.bar} of `{turn.movement}`",
        "no silence near it is long enough", "a rest of three seconds would help; of two at a desk one can turn",
    )  # fmt: skip
