"""What holds in a stretch of music: metre, key and tempo, and their changes on the way.

A movement's rows hold for all its sections; a section's rows stand before them, inside that section
only. A row with a place holds from there to the section's end.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TypeVar

from cavata.diagnostics.record import Diagnostics
from cavata.music.mode import Mode
from cavata.names.program import BoundKey, BoundSetting
from cavata.place.meters import meter_of
from cavata.record import dataclass
from cavata.score.score import Meter
from cavata.source import Span
from cavata.syntax import tree as t

COMMON = meter_of(4, 4, ())

_Key = TypeVar("_Key")
_Row = TypeVar("_Row")


@dataclass(frozen=True, slots=True)
class Settings:
    """The rows of a movement or section, sorted by what they set."""

    meters: tuple[tuple[int, Meter | None, Span], ...]
    """From which bar on; bar 0 stands for the beginning. None for free time."""
    keys: tuple[tuple[int, Mode | None, Span], ...]
    tempi: tuple[t.TempoRow, ...]
    pickup: Fraction
    pickup_span: Span | None
    attacca: bool


def sorted_settings(rows: tuple[BoundSetting, ...], bag: Diagnostics) -> Settings:
    """The rows sorted; a second row for the same place is reported."""
    meters: dict[int, tuple[int, Meter | None, Span]] = {}
    keys: dict[int, tuple[int, Mode | None, Span]] = {}
    tempi: dict[tuple[int, int, Fraction], t.TempoRow] = {}
    pickup: t.PickupRow | None = None
    attacca = False
    for row in rows:
        match row:
            case t.MeterRow(place, numerator, denominator, groups, span):
                bar = _bar(place, bag)
                meter = meter_of(numerator, denominator, groups) if numerator else None
                _once(meters, bar, (bar, meter, span), span, "metre", bag)
            case BoundKey(place, mode, span):
                bar = _bar(place, bag)
                _once(keys, bar, (bar, mode, span), span, "key", bag)
            case t.TempoRow(place=place, span=span):
                if place is None and (row.bend or row.back):
                    bag.error(
                        "P402", span, "a change of tempo has a place", "where does it begin?",
                        f"write `tempo at bar 1: {row.bend or 'back in tempo'} ...`",
                    )
                    continue
                at = (place.bar, place.beat, place.offset) if place else (0, 0, Fraction(0))
                _once(tempi, at, row, span, "tempo", bag)
            case t.PickupRow(span=span):
                if pickup is not None:
                    bag.error("P121", span, "the pick-up is set twice", "again here", "keep one of them")
                pickup = row
            case t.Attacca():
                attacca = True
    return Settings(
        tuple(meters[bar] for bar in sorted(meters)),
        tuple(keys[bar] for bar in sorted(keys)),
        tuple(tempi[at] for at in sorted(tempi)),
        pickup.duration if pickup else Fraction(0),
        pickup.span if pickup else None,
        attacca,
    )


def _bar(place: t.Place | None, bag: Diagnostics) -> int:
    if place is None or (place.counted and place.bar <= 1):
        return 0
    if place.beat != 1 or place.offset:
        bag.error(
            "P120", place.span, "metre and key change at a bar line", "inside a bar",
            f"write `at bar {max(1, place.bar)}`",
        )
    return place.bar


def _once(rows: dict[_Key, _Row], key: _Key, value: _Row, span: Span, what: str, bag: Diagnostics) -> None:
    if key in rows:
        bag.error("P121", span, f"the {what} is set twice at one place", "again here", "keep one of them")
    rows[key] = value
