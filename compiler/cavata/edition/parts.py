"""A part: the score as one player or desk reads it.

In: the score at concert pitch and the index of a part, or of the instruments under a percussionist's brace. Out: a
score of that alone, transposed as its player reads
and without letters or colors, which are for whoever studies the whole. Tempi, rehearsal marks, sections, repeats and
movements in which it is silent stay. What the others do and a player must know is written into it: fermatas at
which all wait, and cues.
"""

from __future__ import annotations

from cavata.edition.cues import with_cues
from cavata.edition.fermatas import movement_with_fermatas
from cavata.names.paper import USUAL, Paper, find_paper
from cavata.record import replace
from cavata.score.score import CopyKind, Group, Movement, Score, events_of

WIDEST_MM = 260
"""A page of a part is no wider: that of JIS B4 is 257 mm."""


def has_notes(score: Score, index: int) -> bool:
    """Whether a part has anything to play."""
    return any(event.event.heads for movement in score.movements for event in events_of(movement.staves[index]))


def part_score(score: Score, index: int, cues: bool = True) -> Score:
    """The score of one part; `cues` shows lines of others before entries that are long awaited."""
    return _for_one(score, (index,), score.parts[index].label, (), cues)


def stand_score(score: Score, brace: Group, places: tuple[int, ...], cues: bool = True) -> Score:
    """The score of one percussionist's instruments, those at these places, under their brace."""
    return _for_one(score, places, brace.label, (replace(brace, label="", abbreviation=""),), cues)


def _for_one(score: Score, places: tuple[int, ...], reader: str, groups: tuple[Group, ...], cues: bool) -> Score:
    header = replace(
        score.header, kind=CopyKind.PART, reader=reader, concert_score=False, paper=_on_a_stand(score.header.paper)
    )  # fmt: skip
    if not header.proof:
        header = replace(header, show_letters=False, colors=())
    movements = tuple(_movement(score, movement, places, cues) for movement in score.movements)
    parts = tuple(score.parts[place] for place in places)
    return replace(score, header=header, parts=parts, groups=groups, shared=(), movements=movements)


def _on_a_stand(paper: Paper) -> Paper:
    """The paper of a part: the piece's own, unless it is too wide for two pages side by side on a music stand."""
    if paper.width <= WIDEST_MM:
        return paper
    return find_paper("letter") or USUAL if paper.name in ("letter", "tabloid") else USUAL


def _movement(score: Score, movement: Movement, places: tuple[int, ...], cues: bool) -> Movement:
    own = replace(movement, staves=tuple(movement.staves[place] for place in places))
    staves = list(movement_with_fermatas(own, movement).staves)
    if cues:  # they stand on the first staff that has pitches
        top = next((number for number, place in enumerate(places) if not score.parts[place].instrument.unpitched), 0)
        others = [staff for number, part in enumerate(staves) if number != top for staff in part]
        staves[top] = with_cues(score, movement, places, (*staves[top], *others))[: len(staves[top])]
    return replace(own, staves=tuple(staves))
