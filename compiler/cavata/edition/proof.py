"""A proof copy: the score with everything that helps to read it against its script.

In: a score and the plan that it was placed from. Out: the same score, to be shown with letters, colours, a number at
every bar and the lines of the script beside the notes.
"""

from __future__ import annotations

from cavata.evaluate.plan import Plan
from cavata.record import replace
from cavata.score.colours import PALETTE, heard_names
from cavata.score.page_words import page_words
from cavata.score.score import Score

SUFFIX = "-proof"
"""What follows the name of the piece in the names of a proof copy's files."""


def proof_copy(score: Score, plan: Plan) -> Score:
    """The score as a proof copy; names beyond the seventh stay black."""
    colours = score.header.colours or tuple(zip(heard_names(plan, score.movements), PALETTE, strict=False))
    foot = page_words(score.header.language, "reading", "proof")
    return replace(score, header=replace(score.header, proof=True, show_letters=True, colours=colours, foot=foot))
