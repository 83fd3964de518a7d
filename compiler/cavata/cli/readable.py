"""Whether a conductor can read the score on its paper.

In: a copy on the page. Out: a warning where its staves come out too small, with the paper on which they would not.
"""

from __future__ import annotations

from cavata.diagnostics.record import Diagnostics
from cavata.lilypond.sheets import whole_sheet
from cavata.lilypond.staff_size import READABLE, millimetres, staff_size
from cavata.names.paper import PAPERS, find_paper
from cavata.notate.written import WrittenScore
from cavata.score.score import CopyKind


def report_small_staves(page: WrittenScore, bag: Diagnostics) -> None:
    """Warn of a score whose staves are smaller than can be read at a desk. A part never is."""
    if page.header.kind is CopyKind.PART:
        return
    sheet = whole_sheet(page)
    if sheet.staff_size >= READABLE:
        return
    staves, paper = sheet.setting.staves, page.header.paper
    larger = (other for other in map(find_paper, PAPERS) if other is not None)
    fitting = next((other.name for other in larger if staff_size(staves, other) >= READABLE), "")
    bag.warning(
        "O130", None,
        f"{staves} staves on {paper.name} are {float(millimetres(sheet.staff_size)):.1f} mm high each",
        f"from {float(millimetres(READABLE)):.1f} mm on they can be read at a desk",
        f"say `paper {fitting}` under `piece`, or build with `--paper {fitting}`" if fitting else
        "let players of a kind share a staff, with `staff NAME = PART, PART`",
    )  # fmt: skip
