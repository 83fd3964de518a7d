"""The pages of a part: engraved, and once more with other page breaks where a page could not be turned.

In: a written part and what engraves it. Out: the engraving, the reports of its layout taken out, and a warning for
every page that must still be turned while its player plays.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Engraving, Failure
from cavata.notate.page_turns import PageTurn, PartLayout, System, bad_turns, crowded, with_pages_planned
from cavata.notate.written import WrittenScore
from cavata.record import replace

# ----------------------------------------------------------------
# How LilyPond set a part, as the text of a part makes it report.
#
# In: an engraving of a part. Out: its systems, page by page, and the engraving without these reports among its remarks.


_REPORT = "layout "
"""How each report begins; then come its number, its kind, the page, and what the kind has."""


def layout_of(engraving: Engraving) -> PartLayout | None:
    """The systems of a part; None if nothing was reported."""
    systems: list[System] = []
    height = words = 0.0
    for remark in engraving.remarks:
        if not remark.startswith(_REPORT):
            continue
        match remark.split()[2:]:
            case ["room", room]:
                height = float(room)
            case ["words", _, high]:
                words += float(high)
            case ["system", page, begin, end, high]:
                systems.append(System(int(page), Fraction(begin), Fraction(end), float(high), words))
                words = 0.0
            case _:
                pass
    return PartLayout(tuple(systems), height, systems[0].page) if systems else None


def without_reports(engraving: Engraving) -> Engraving:
    """The engraving with what concerns its reader only."""
    remarks = tuple(remark for remark in engraving.remarks if not remark.startswith(_REPORT))
    return replace(engraving, remarks=remarks)


# ----------------------------------------------------------------

Engrave = Callable[[WrittenScore], Engraving | Failure]


def begin_again(page: WrittenScore, first: Engraving | Failure, order: Callable[[WrittenScore], object]) -> None:
    """Order a part with its pages planned, if they need to be, ahead of `part_engraved`.

    So the parts of a piece are engraved side by side the second time too.
    """
    layout = layout_of(first) if isinstance(first, Engraving) else None
    planned = with_pages_planned(page, layout) if layout is not None else None
    if planned is not None:
        order(planned)


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
        reset = layout_of(again) or layout
        left = bad_turns(planned, reset)
        if len(left) < len(turns) or (len(left) == len(turns) and crowded(layout) and not crowded(reset)):
            best, turns = again, left
    if turns:
        _warn(page, turns, bag)
    return without_reports(best)


def _warn(page: WrittenScore, turns: tuple[PageTurn, ...], bag: Diagnostics) -> None:
    part = page.movements[0].parts[0].part
    places = ", ".join(f"bar {turn.bar} of `{turn.movement}`" for turn in turns)
    bag.warning(
        "O122", part.span, f"`{part.name}` must turn pages while playing: after {places}",
        label="no silence near by is long enough",
        cure="a rest of three seconds would help; of two at a desk one can turn",
    )  # fmt: skip
