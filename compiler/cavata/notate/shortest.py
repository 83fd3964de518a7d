"""Places where a rhythm would need note values shorter than any output has a name for.

In: a score. Out: an error for each item of a line that cannot be written, at its place. Holds after, where nothing was
reported: no leaf of the written score, and no value that a bracket counts, is shorter than `SHORTEST`. Only bars are
looked at whose rhythm is so fine that there could be one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import gcd

from cavata.diagnostics import Diagnostics
from cavata.notate.bar_spelling import spell_bar
from cavata.notate.frames import WrittenSpan, written_spans
from cavata.notate.voice import BarPieces, Ticks, bar_pieces, whole_of
from cavata.notate.written import SHORTEST
from cavata.score.score import SURELY_WRITTEN, Movement, Part, Score, ScoreBar, ScoreEvent, with_ossias
from cavata.score.whereabouts import in_bars


def report_too_short(score: Score, bag: Diagnostics) -> None:
    """An error for each item with a note, or a rest before or after it, that no note value is short enough for."""
    for movement in score.movements:
        spans = written_spans(movement)
        whole = whole_of(movement, spans)
        if whole <= SURELY_WRITTEN:
            continue
        time = Ticks.of(whole, spans)
        told: set[tuple[str, int]] = set()
        for part, staves in zip(score.parts, movement.staves, strict=True):
            for voice in (voice for staff in with_ossias(staves) for voice in staff.voices):
                for event, bar in _too_short(voice, spans, time):
                    if (part.name, event.line.start) not in told:
                        told.add((part.name, event.line.start))
                        _report(movement, part, event, bar, bag)


def _too_short(
    voice: Sequence[ScoreEvent], spans: Sequence[WrittenSpan], time: Ticks
) -> Iterator[tuple[ScoreEvent, ScoreBar]]:
    """Each event that is written with such a leaf, or has such a rest beside it, with the bar."""
    for pieces, span in zip(bar_pieces(voice, time), spans, strict=True):
        shared = gcd(time.whole, *pieces.lengths)
        if not pieces.events or time.whole // shared <= SURELY_WRITTEN:
            continue
        lengths = tuple(length // shared for length in pieces.lengths)
        spelling = spell_bar(span.bar.meter, span.bar.leads_on, time.whole // shared, lengths)
        brackets = {spelling.slots[fold.first].piece for fold in spelling.folds if fold.unit < SHORTEST}
        for slot in spelling.slots:
            if slot.base < SHORTEST or slot.piece in brackets:
                yield voice[_event(pieces, slot.piece)], span.bar


def _event(pieces: BarPieces, piece: int) -> int:
    """The event of a piece; of a silence the one after it, at a bar's end the one before it."""
    near = (piece, piece + 1, piece - 1)
    return next(pieces.events[place] for place in near if place < len(pieces.events) and pieces.events[place] >= 0)


def _report(movement: Movement, part: Part, event: ScoreEvent, bar: ScoreBar, bag: Diagnostics) -> None:
    length = event.event.duration
    if 0 < length < SHORTEST:
        bag.error(
            "P118", event.line, f"a note of {length} cannot be written", label=f"shorter than {SHORTEST}",
            cure="use a smaller ratio in `diminution` or simpler values",
        )  # fmt: skip
        return
    where = in_bars([bar.number] if bar.meter is not None else [])
    bag.error(
        "P118", event.line, f"the rhythm of `{part.name}` cannot be written{where}",
        label=f"a note or a rest would be shorter than {SHORTEST}",
        cure="let it begin at a place that its note values reach, or use simpler values",
    )  # fmt: skip
