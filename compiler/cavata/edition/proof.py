"""A proof copy: the score with everything that helps to read it against its script.

In: a score and the plan that it was placed from. Out: the same score, to be shown with letters, colors, a number at
every bar and the lines of the script beside the notes.
"""

from __future__ import annotations

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import Plan
from cavata.record import replace
from cavata.score.colors import PALETTE, heard_names
from cavata.score.page_words import page_words
from cavata.score.score import Score, ScoreEvent
from cavata.score.whereabouts import Whereabouts

SUFFIX = "-proof"
"""What follows the name of the piece in the names of a proof copy's files."""


def proof_copy(score: Score, plan: Plan) -> Score:
    """The score as a proof copy; names beyond the seventh stay black."""
    colors = score.header.colors or tuple(zip(heard_names(plan, score.movements), PALETTE, strict=False))
    foot = page_words(score.header.language, "reading", "proof")
    return replace(score, header=replace(score.header, proof=True, show_letters=True, colors=colors, foot=foot))


# ----------------------------------------------------------------
# Entries of which nobody says how loud they are.
#
# In: a score. Out: for each part that begins to play in the piece without a dynamic, a warning at the line of its first
# note. Asked for by a proof copy only: a sketch may leave it open. Source: common practice, a dynamic at a first entry.


def report_bare_entries(score: Score, bag: Diagnostics) -> None:
    """Warn of each part whose first note in the piece has neither a dynamic nor a hairpin."""
    for place, part in enumerate(score.parts):
        for movement in score.movements:
            events = [event for staff in movement.staves[place] for voice in staff.voices for event in voice]
            if not events:
                continue
            onset = min(event.onset for event in events)
            first = [event for event in events if event.onset == onset]
            if not any(map(_says_how_loud, first)):
                bars = Whereabouts(movement.bars, ()).bars_of(first[:1])
                bag.warning(
                    "O131", first[0].line, f"`{part.name}` enters without a dynamic{bars}",
                    label="nobody says how loud",
                    cure="add `marked p`, or what it shall be; a proof copy asks, a fair copy does not",
                )
            break


def _says_how_loud(event: ScoreEvent) -> bool:
    return bool(event.event.marks.loud or event.event.marks.hairpin)
