"""A color for every name that is heard.

In: the plan and the placed movements. Out: names in the order in which they are defined, each with its color.
The colors are told apart by people of every color vision; a name beyond the seventh has none.
"""

from __future__ import annotations

from collections.abc import Sequence

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import Plan
from cavata.score.score import Movement
from cavata.text import backticked

PALETTE = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#332288")
"""Blue, vermilion, bluish green, reddish purple, orange, sky blue and indigo.

Source: M. Okabe and K. Ito, Color Universal Design, 2008; their eighth, black, is left to notes that no name gave. In
place of their yellow, in which a head can hardly be seen on white paper, stands the indigo of P. Tol, Colour Schemes
(SRON technical note), scheme "muted".
"""


def colors(plan: Plan, movements: Sequence[Movement], bag: Diagnostics) -> tuple[tuple[str, str], ...]:
    """Names and colors; none unless the piece shows them. More names than colors are mentioned in a warning."""
    piece = plan.program.piece
    row = next((r for r in piece.rows if r.word == "show colors"), None) if piece else None
    if row is None:
        return ()
    names = heard_names(plan, movements)
    if len(names) > len(PALETTE):
        without = backticked(names[len(PALETTE) :][:4])
        bag.warning(
            "P405", row.span, f"{len(names)} names are heard, and there are {len(PALETTE)} colors",
            label=f"these stay black: {without}", cure="more colors could not be told apart",
        )
    return tuple(zip(names, PALETTE, strict=False))


def heard_names(plan: Plan, movements: Sequence[Movement]) -> tuple[str, ...]:
    """The names that some note comes from, in the order in which they are defined."""
    heard = _heard(movements)
    return tuple(dict.fromkeys(identity.name for identity in plan.values if identity.name in heard))


def _heard(movements: Sequence[Movement]) -> set[str]:
    return {
        letter.name
        for movement in movements for event in movement.events
        for heads in (event.event.heads, *event.event.marks.graces) for head in heads
        for letter in head.letters
    }  # fmt: skip
