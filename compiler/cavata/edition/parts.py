"""A part: the score as one player or desk reads it.

In: the score at concert pitch and the index of a part. Out: a score of that part alone, transposed as its player reads
and without letters or colours, which are for whoever studies the whole. Tempi, rehearsal marks, sections, repeats and
movements in which it is silent stay. What the others do and a player must know is written into it: fermatas at
which all wait, and cues.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.edition.cues import with_cues
from cavata.music.event import Event, Marks
from cavata.names.paper import USUAL, Paper, find_paper
from cavata.record import replace
from cavata.score.score import CopyKind, Movement, Score, ScoreEvent, Staff, events_of

# ----------------------------------------------------------------
# Fermatas for everyone: where one part waits, the others wait too, and their pages say so.
#
# In: a movement and the index of a part. Out: the part's staves with the fermatas of all others. A note that ends where
# the waiting ends has the sign itself; a silence has it as a rest with a fermata. A note that goes on beyond is left
# alone. Source: common practice.


_SIGN = Marks(articulations=("fermata",))


def with_fermatas(movement: Movement, index: int) -> tuple[Staff, ...]:
    """The staves of one part, every fermata of the movement in them."""
    waits = _waits(movement)
    return tuple(_marked(staff, waits) for staff in movement.staves[index]) if waits else movement.staves[index]


def _waits(movement: Movement) -> tuple[ScoreEvent, ...]:
    """The events with a fermata, of those that end together the shortest, in order of their ends."""
    found: dict[Fraction, ScoreEvent] = {}
    for event in filter(_has_sign, movement.events):
        before = found.get(event.end)
        found[event.end] = event if before is None or event.onset > before.onset else before
    return tuple(found[end] for end in sorted(found))


def _has_sign(event: ScoreEvent) -> bool:
    return "fermata" in event.event.marks.articulations


def _marked(staff: Staff, waits: tuple[ScoreEvent, ...]) -> Staff:
    ends = {wait.end for wait in waits}
    voices = tuple(
        tuple(_signed(event) if event.end in ends else event for event in voice) for voice in staff.voices or ((),)
    )
    silences = tuple(_silences(staff, waits))
    if silences:
        upper = sorted((*voices[0], *silences), key=lambda event: event.onset)
        voices = (tuple(upper), *voices[1:])
    return replace(staff, voices=voices)


def _signed(event: ScoreEvent) -> ScoreEvent:
    return event if _has_sign(event) else replace(event, event=event.event.marked(_SIGN))


def _silences(staff: Staff, waits: tuple[ScoreEvent, ...]) -> Iterator[ScoreEvent]:
    """Rests with a fermata where nothing sounds on the staff as a waiting ends."""
    events = sorted(events_of((staff,)), key=lambda event: event.onset)
    place = 0
    sounding = Fraction(0)
    for wait in waits:
        while place < len(events) and events[place].onset < wait.end:
            sounding = max(sounding, events[place].end)
            place += 1
        if sounding < wait.end:
            begin = max(sounding, wait.onset)
            yield ScoreEvent(begin, Event(wait.end - begin, (), _SIGN), wait.line)


# ----------------------------------------------------------------

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
        header = replace(header, show_letters=False, colours=())
    movements = tuple(_movement(score, movement, index, cues) for movement in score.movements)
    return replace(score, header=header, parts=(part,), groups=(), movements=movements)


def _on_a_stand(paper: Paper) -> Paper:
    """The paper of a part: the piece's own, unless it is too wide for two pages side by side on a music stand."""
    if paper.width <= WIDEST_MM:
        return paper
    return find_paper("letter") or USUAL if paper.name in ("letter", "tabloid") else USUAL


def _movement(score: Score, movement: Movement, index: int, cues: bool) -> Movement:
    staves = with_fermatas(movement, index)
    if cues:
        staves = with_cues(score, movement, index, staves)
    return replace(movement, staves=(staves,))
