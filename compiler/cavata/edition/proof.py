"""A proof copy: the score with everything that helps to read it against its script.

In: a score and the plan that it was placed from. Out: the same score, to be shown with letters, colors, a number at
every bar, the lines of the script beside the notes, and what is found of the playing over them.
"""

from __future__ import annotations

from collections.abc import Mapping

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import Plan
from cavata.music.event import Marks
from cavata.playing.playing import findings
from cavata.record import replace
from cavata.score.colors import PALETTE, heard_names
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Score, ScoreEvent
from cavata.score.whereabouts import Whereabouts

SUFFIX = "-proof"
"""What follows the name of the piece in the names of a proof copy's files."""


def proof_copy(score: Score, plan: Plan) -> Score:
    """The score as a proof copy; names beyond the seventh stay black."""
    colors = score.header.colors or tuple(zip(heard_names(plan, score.movements), PALETTE, strict=False))
    foot = page_words(score.header.language, "reading", "proof")
    score = _with_findings(score)
    return replace(score, header=replace(score.header, proof=True, show_letters=True, colors=colors, foot=foot))


# ----------------------------------------------------------------
# What players cannot play, what needs care and what tires, over the notes where it begins.
#
# In: a score. Out: the same score, with words over those notes: what is found, and where the same comes back only its
# kind. They are in English, as all messages are.


def _with_findings(score: Score) -> Score:
    told: set[tuple[str, str, str, str]] = set()
    words: dict[int, tuple[str, ...]] = {}
    for movement, part, finding in findings(score):
        key = (movement.name, part.name, finding.kind.word, finding.what)
        said = f"[{finding.kind.word}: {finding.what}]" if key not in told else f"[{finding.kind.word}]"
        told.add(key)
        words[id(finding.event)] = (*words.get(id(finding.event), ()), said)
    return replace(score, movements=tuple(_over_notes(movement, words) for movement in score.movements))


def _over_notes(movement: Movement, words: Mapping[int, tuple[str, ...]]) -> Movement:
    def voice_with(voice: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
        if not any(id(event) in words for event in voice):
            return voice
        return tuple(
            event.marked(Marks(words=words[id(event)])) if id(event) in words else event
            for event in voice
        )

    staves = tuple(
        tuple(replace(staff, voices=tuple(map(voice_with, staff.voices))) for staff in part) for part in movement.staves
    )
    return replace(movement, staves=staves)


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
