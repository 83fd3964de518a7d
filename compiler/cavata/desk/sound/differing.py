"""Where two scores are heard otherwise: the first place, to be looked at and listened to."""

from __future__ import annotations

from cavata.desk.sound.performed import changed_stretches
from cavata.record import record
from cavata.score.score import Movement, Score, bar_index_at

_BARS = 4
"""How many bars of a long change are heard."""


@record
class HeardBars:
    """Bars of a movement by the numbers that are printed at them, as far as they are to be heard."""

    movement: str
    bar: int
    last: int


def first_change(before: Score, now: Score) -> HeardBars | None:
    """The first place at which a score is not heard as another is; None where all is."""
    then = {movement.name: movement for movement in before.movements}
    movements = [movement for movement in now.movements if movement.bars]
    for movement in movements:
        old = then.get(movement.name)
        if old is None or [len(s) for s in old.staves] != [len(s) for s in movement.staves]:
            return _place(movement, 0, len(movement.bars) - 1)
        if _voices(old) != _voices(movement):
            begin = min((event.onset for event in movement.events), default=movement.duration)
            return _place(movement, bar_index_at(movement.bars, begin), len(movement.bars) - 1)
        for change in changed_stretches(old, movement):
            first, after = (bar_index_at(movement.bars, moment) for moment in (change.begin, change.end))
            return _place(movement, first, max(after - 1, 0))
    if movements and [part.instrument for part in before.parts] != [part.instrument for part in now.parts]:
        return _place(movements[0], 0, len(movements[0].bars) - 1)
    return None


def _voices(movement: Movement) -> list[int]:
    return [len(staff.voices) for staves in movement.staves for staff in staves]


def _place(movement: Movement, first: int, last: int) -> HeardBars:
    last = max(first, min(last, first + _BARS - 1))
    return HeardBars(movement.name, movement.bars[first].number, movement.bars[last].number)
