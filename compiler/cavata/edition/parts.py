"""A part: the score as one player or desk reads it.

In: the score at concert pitch and the index of a part. Out: a score of that part alone, transposed as its player reads
and without letters or colors, which are for whoever studies the whole. Tempi, rehearsal marks, sections, repeats and
movements in which it is silent stay. What the others do and a player must know is written into it: fermatas at
which all wait, and cues.
"""

from __future__ import annotations

from cavata.edition.cues import with_cues
from cavata.edition.fermatas import staves_with_fermatas
from cavata.names.paper import USUAL, Paper, find_paper
from cavata.record import replace
from cavata.score.score import CopyKind, Movement, Score, events_of

WIDEST_MM = 260
"""A page of a part is no wider: that of JIS B4 is 257 mm."""


def has_notes(score: Score, index: int) -> bool:
    """Whether a part has anything to play."""
    return any(event.event.heads for movement in score.movements for event in events_of(movement.staves[index]))


def part_score(score: Score, index: int, cues: bool = True) -> Score:
    """The score of one part; `cues` shows lines of others before entries that are long awaited."""
    part = score.parts[index]
    header = replace(
        score.header, kind=CopyKind.PART, reader=part.label, concert_score=False, paper=_on_a_stand(score.header.paper)
    )  # fmt: skip
    if not header.proof:
        header = replace(header, show_letters=False, colors=())
    movements = tuple(_movement(score, movement, index, cues) for movement in score.movements)
    return replace(score, header=header, parts=(part,), groups=(), movements=movements)


def _on_a_stand(paper: Paper) -> Paper:
    """The paper of a part: the piece's own, unless it is too wide for two pages side by side on a music stand."""
    if paper.width <= WIDEST_MM:
        return paper
    return find_paper("letter") or USUAL if paper.name in ("letter", "tabloid") else USUAL


def _movement(score: Score, movement: Movement, index: int, cues: bool) -> Movement:
    staves = staves_with_fermatas(movement.staves[index], movement)
    if cues:
        staves = with_cues(score, movement, index, staves)
    return replace(movement, staves=(staves,))
