"""The pages of a part: engraved, and once more with other page breaks where a page could not be turned.

In: a written part and what engraves it. Out: the engraving, the reports of its layout taken out, and a warning for
every page that must still be turned while its player plays.
"""

from __future__ import annotations

from collections.abc import Callable

from cavata.diagnostics.record import Diagnostics
from cavata.engrave.engraving import Engraving, Failure
from cavata.engrave.layout import layout_of, without_reports
from cavata.notate.page_plan import Layout, Turn, bad_turns, crowded, with_pages_planned
from cavata.notate.written import WrittenScore

Engrave = Callable[[WrittenScore], Engraving | Failure]


def part_engraved(
    page: WrittenScore, first: Engraving | Failure, engrave: Engrave, bag: Diagnostics
) -> Engraving | Failure:
    """The part with the best turns that could be found; `first` is how it was set before anything was planned."""
    if isinstance(first, Failure):
        return first
    layout = layout_of(first)
    if layout is None:
        return first
    best, turns = first, bad_turns(page, layout)
    planned = with_pages_planned(page, layout)
    if planned is not None:
        again = engrave(planned)
        if isinstance(again, Failure):
            return again
        if _is_better(planned, again, turns, layout):
            best, turns = again, _turns(planned, again)
    if turns:
        _warn(page, turns, bag)
    return without_reports(best)


def _is_better(planned: WrittenScore, again: Engraving, turns: tuple[Turn, ...], before: Layout) -> bool:
    """Fewer bad turns, or as few and no page too full."""
    layout = layout_of(again)
    if layout is None:
        return False
    left = len(bad_turns(planned, layout))
    return left < len(turns) or (left == len(turns) and crowded(before) and not crowded(layout))


def _turns(page: WrittenScore, engraving: Engraving) -> tuple[Turn, ...]:
    layout = layout_of(engraving)
    return bad_turns(page, layout) if layout else ()


def _warn(page: WrittenScore, turns: tuple[Turn, ...], bag: Diagnostics) -> None:
    part = page.movements[0].parts[0].part
    places = ", ".join(f"bar {turn.bar} of `{turn.movement}`" for turn in turns)
    bag.warning(
        "O122", part.span, f"`{part.name}` must turn pages while playing: after {places}",
        "no silence near by is long enough", "a rest of three seconds would help; of two at a desk one can turn",
    )  # fmt: skip
