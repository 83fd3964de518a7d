"""A short score: the whole piece on four to six staves, as it sounds.

In: the whole score. Out: a score of one part for each body of players: woodwind, brass, percussion on one line,
soloists, voices, keyboards, strings. Holds after: in each body something begins on the page wherever it begins in
the whole, and nothing sounds on the page that does not sound in the whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.edition.bodies import Body, bodies, body_part
from cavata.edition.reduction import shared_out, voices_of, written_out
from cavata.edition.reduction_marks import marked, names_in
from cavata.edition.slices import Note, joined
from cavata.edition.source_lines import Line, VoiceBar, lines_of
from cavata.music.event import Head
from cavata.music.pitch import Pitch
from cavata.record import replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Movement, Score, ScoreEvent, Staff

_LINE = Pitch(34, 0)
"""Where a note without pitch is kept."""


def short_score(score: Score) -> Score:
    """The short score of a piece."""
    found = bodies(score.parts)
    words = page_words(score.header.language, "reading", "short_score")
    subtitle = f"{score.header.subtitle} \u2013 {words}" if score.header.subtitle else words
    header = replace(
        score.header, kind=CopyKind.SHORT, concert_score=True, show_letters=False, colours=(), subtitle=subtitle,
    )  # fmt: skip
    parts = tuple(map(body_part, found))
    movements = tuple(
        replace(movement, staves=tuple(_staves(score, movement, body) for body in found))
        for movement in score.movements
    )
    return replace(score, header=header, parts=parts, groups=(), movements=movements, shared=())


def _staves(score: Score, movement: Movement, body: Body) -> tuple[Staff, ...]:
    if body.alone:
        return movement.staves[score.parts.index(body.parts[0])]
    lines = [line for line in lines_of(score.parts, movement) if line.part in body.parts]
    count = len(movement.bars)
    if body.unpitched:
        return (Staff("", (_struck(lines, count),)),)
    if not body.two_staves:
        return (Staff("", written_out([voices_of(lines, bar) for bar in range(count)])),)
    plans: tuple[list[tuple[VoiceBar, ...]], ...] = ([], [])
    upper: set[int] = set()
    for bar in range(count):
        for staff, share in enumerate(shared_out(lines, bar, upper)):
            plans[staff].append(voices_of(share, bar))
    return tuple(Staff(name, written_out(plan)) for name, plan in zip(("right", "left"), plans, strict=True))


def _struck(lines: Sequence[Line], bars: int) -> tuple[ScoreEvent, ...]:
    """All unpitched instruments on one line: a note lasts until the next one at most."""
    notes = [(event, head) for line in lines for bar in line.bars for event in bar for head in event.event.heads]
    onsets = sorted({event.onset for event, _ in notes})
    following: dict[Fraction, Fraction] = dict(zip(onsets, onsets[1:], strict=False))
    made = [
        replace(note, end=min(note.end, following.get(note.onset, note.end)))
        for note in (Note(event.onset, event.end, Head(_LINE, head.origins), 0, event.line) for event, head in notes)
    ]
    plan = [_beaten([line for line in lines if line.bars[bar]]) for bar in range(bars)]
    return marked(joined(made, 0), [voices[0] if voices else None for voices in plan], names_in(plan, 0))


def _beaten(playing: Sequence[Line]) -> tuple[VoiceBar, ...]:
    """The one voice of a bar of percussion."""
    return (VoiceBar(tuple(playing), tuple(line.part for line in playing), playing[0]),) if playing else ()
