"""The pages of a part: engraved, and once more with other page breaks where a page could not be turned.

In: a written part and what engraves it. Out: the engraving, the reports of its layout taken out, and a warning for
every page that must still be turned while its player plays.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Engraving, Failure
from cavata.notate.paper.page_turns import PageTurn, PartLayout, SetSystem, bad_turns, crowded, with_pages_planned
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.record import replace
from cavata.score.whereabouts import listed

# ----------------------------------------------------------------
# How LilyPond set a part, as the text of a part makes it report.
#
# In: an engraving of a part. Out: its systems, page by page, and the engraving without these reports among its remarks.


_REPORT = "layout "
"""How each report begins; then come its number, its kind, the page, and what the kind has."""


def layout_of(engraving: Engraving) -> PartLayout | None:
    """The systems of a part; None if nothing was reported."""
    systems: list[SetSystem] = []
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
                systems.append(SetSystem(int(page), Fraction(begin), Fraction(end), float(high), words))
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
    best, layout, turns = part_set(page, first, engrave)
    if isinstance(best, Failure) or layout is None:
        return best
    if turns:
        _warn(page, turns, bag)
    return without_reports(best)


def part_set(
    page: WrittenScore, first: Engraving | Failure, engrave: Engrave
) -> tuple[Engraving | Failure, PartLayout | None, tuple[PageTurn, ...]]:
    """The part as it is handed out, where its systems stand, and the turns for which there is no time."""
    layout = None if isinstance(first, Failure) else layout_of(first)
    if isinstance(first, Failure) or layout is None:
        return first, None, ()
    best, turns = first, bad_turns(page, layout)
    planned = with_pages_planned(page, layout)
    if planned is not None:
        again = engrave(planned)
        if isinstance(again, Failure):
            return again, None, ()
        reset = layout_of(again) or layout
        left = bad_turns(planned, reset)
        if len(left) < len(turns) or (len(left) == len(turns) and crowded(layout) and not crowded(reset)):
            best, turns, layout = again, left, reset
    return best, layout, turns


def bar_pages(page: WrittenScore, layout: PartLayout) -> dict[tuple[str, int], int]:
    """On which page each bar of a copy stands: by its movement and its printed number."""
    sounding = iter([movement for movement in page.movements if not movement.tacet])
    found: dict[tuple[str, int], int] = {}
    movement: WrittenMovement | None = None
    for system in layout.systems:
        if system.begin <= 0:
            movement = next(sounding, None)
        now = Fraction(0)
        for frame in movement.frames if movement is not None else ():
            if system.begin <= now < system.end and movement is not None:
                found.setdefault((movement.name, frame.number), system.page)
            now += frame.duration
    return found


def _warn(page: WrittenScore, turns: tuple[PageTurn, ...], bag: Diagnostics) -> None:
    parts = [each.part for each in page.movements[0].parts]
    names = f"the player of {listed([f'`{part.name}`' for part in parts])}" if parts[1:] else f"`{parts[0].name}`"
    places = ", ".join(f"bar {turn.bar} of `{turn.movement}`" for turn in turns)
    bag.warning(
        "O122", parts[0].span, f"{names} must turn pages while playing: after {places}",
        label="no silence near by is long enough",
        cure="a rest of three seconds would help; of two at a desk one can turn",
    )  # fmt: skip
