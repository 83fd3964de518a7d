"""How LilyPond set a part, as the text of a part makes it report.

In: an engraving of a part. Out: its systems, page by page, and the engraving without these reports among its remarks.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.lilypond.engraving import Engraving
from cavata.notate.page_plan import Layout, System
from cavata.record import replace

_REPORT = "layout "
"""How each report begins; then come its number, its kind, the page, and what the kind has."""


def layout_of(engraving: Engraving) -> Layout | None:
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
    return Layout(tuple(systems), height, systems[0].page) if systems else None


def without_reports(engraving: Engraving) -> Engraving:
    """The engraving with what concerns its reader only."""
    remarks = tuple(remark for remark in engraving.remarks if not remark.startswith(_REPORT))
    return replace(engraving, remarks=remarks)
