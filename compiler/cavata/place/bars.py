"""The bars of a section: its ruler before its lines are laid, and the bars of the score once its length is known.

In: the rows of the movement and of the section. Out: a ruler; then bars that follow one another without gap.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TypeVar

from cavata.diagnostics.record import Diagnostics
from cavata.place.repeats import Repeat
from cavata.place.ruler import Ruler
from cavata.place.settings import COMMON, Settings
from cavata.score.score import ScoreBar

_Row = TypeVar("_Row", bound=tuple[int, object])


def section_ruler(above: Settings, settings: Settings, is_cadenza: bool, pickup: Fraction, bag: Diagnostics) -> Ruler:
    """The section's bars: its own rows over the movement's, a pick-up or upbeat before them."""
    default_meter = None if is_cadenza else COMMON
    meters = _over(
        (0, above.meters[0][1] if above.meters else default_meter), [(bar, m) for bar, m, _ in settings.meters]
    )
    keys = _over((0, above.keys[0][1] if above.keys else None), [(bar, k) for bar, k, _ in settings.keys])
    _check_meters(settings, meters[0][1] is None, bag)
    first = meters[0][1]
    # What was reported just now is left out, so that bars can be counted all the same.
    meters = meters[:1] if first is None else tuple(row for row in meters if row[1] is not None)
    if pickup and (first is None or pickup >= first.duration):
        span = settings.pickup_span or above.pickup_span
        bag.error(
            "P123", span, "a pick-up is shorter than a bar",
            f"the bar has {first}" if first else "free time has no bars", "write the whole bar out",
        )
        pickup = Fraction(0)
    return Ruler(meters, keys, pickup)


def _check_meters(settings: Settings, free: bool, bag: Diagnostics) -> None:
    """Free time begins and ends with a section; a change inside one is reported."""
    for bar, meter, span in settings.meters:
        if bar and (meter is None or free):
            bag.error(
                "P124", span, "free time begins and ends with a section", "in the midst of one",
                "give the free bars a section of their own",
            )


def _over(base: _Row, rows: list[_Row]) -> tuple[_Row, ...]:
    """A section's rows over the movement's one."""
    return tuple(rows) if rows and rows[0][0] == 0 else (base, *rows)


def section_bars(
    ruler: Ruler, onset: Fraction, length: Fraction, bars: int, number: int, printed: int, repeat: Repeat | None,
    upbeat: Fraction,
) -> Iterator[ScoreBar]:
    """The bars of a section at its onset; `printed` is the number of the bar before it, `bars` none in free time.

    What sounds before bar 1 is a bar of its own, unless it is an upbeat in the last bar of the section before.
    """
    if ruler.is_free:
        yield ScoreBar(printed + 1, onset, length, None, ruler.key(1), number, 1)
        return
    if ruler.pickup and not upbeat:
        yield ScoreBar(0, onset, ruler.pickup, ruler.meter(1), ruler.key(1), number, 0)
    for bar in range(1, bars + 1):
        yield ScoreBar(
            printed + bar, onset + ruler.onset(bar), ruler.length(bar), ruler.meter(bar), ruler.key(bar), number, bar,
            repeat is not None and bar == 1,
            repeat.times if repeat is not None and repeat.goes_back_after(bar, bars) else 0,
            repeat.ending_at(bar) if repeat is not None else (),
        )
