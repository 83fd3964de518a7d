"""The figures of a piece as one screen, and as one JSON document."""

from __future__ import annotations

from typing import Any

from cavata.discover.text_table import text_table
from cavata.score.clock import clock_text
from cavata.tell.index_shown import NONE, bar_text
from cavata.tell.stats import PartStats, Rest, Stats
from cavata.tell.timings_text import seconds_text

MOST_NAMES = 7
"""So many names have their figures on the screen; the document has all."""


def stats_text(found: Stats) -> str:
    """The figures: of the piece, then of each part."""
    lines = [found.title, ""]
    lines += [f"{label:<11} {value}" for label, value in _facts(found)]
    table = text_table(
        ("part", "notes", "from names", "sounds", "range used", "instrument's", "guide", "longest rest"),
        [_row(part) for part in found.parts], frozenset({1, 2, 3}),
    )  # fmt: skip
    note = "Ranges are a guide; the player knows better. What is repeated counts once."
    return "\n".join([*lines, "", table + "\n" + note]) + "\n"


def _facts(found: Stats) -> list[tuple[str, str]]:
    free = f", and {found.free_stretches} in free time" if found.free_stretches else ""
    facts = [
        ("length", clock_text(found.seconds)),
        ("bars", f"{found.bars} in {found.movements} movements and {found.sections} sections{free}"),
        ("notes", f"{found.notes}, of which {_percent(found.from_names, found.notes)} come from names"),
    ]
    if found.of_names:
        shown = [f"{name} {_percent(count, found.notes)}" for name, count in found.of_names[:MOST_NAMES]]
        more = len(found.of_names) - MOST_NAMES
        facts.append(("names", ", ".join(shown) + (f" and {more} more" if more > 0 else "")))
    if found.busiest is not None and found.busiest.notes:
        facts.append(("busiest", f"{found.busiest.label}, {found.busiest.notes} notes"))
    return facts


def _percent(count: int, all_of: int) -> str:
    if 0 < 200 * count < all_of:
        return "< 1 %"
    return f"{round(100 * count / all_of)} %" if all_of else "0 %"


def _row(part: PartStats) -> tuple[str, ...]:
    instrument = part.part.instrument
    used = f"{part.lowest}..{part.highest}" if part.lowest else NONE
    can = f"{instrument.lowest}..{instrument.highest}" if instrument.lowest else NONE
    return (
        part.part.name, str(part.notes), _percent(part.from_names, part.notes), clock_text(part.sounding), used, can,
        part.outside or NONE, _rest(part.longest_rest),
    )  # fmt: skip


def _rest(rest: Rest | None) -> str:
    if rest is None:
        return NONE
    name = rest.begins.movement.name
    if rest.whole_movement:
        return f"{seconds_text(rest.seconds)}, all of {name}"
    where = "free time" if rest.begins.bar is None else f"bar {bar_text(rest.begins)}"
    return f"{seconds_text(rest.seconds)}, {name} {where}"


def stats_json(found: Stats) -> dict[str, Any]:
    """The figures; shares are parts of one."""
    return {
        "title": found.title, "seconds": float(found.seconds), "movements": found.movements,
        "sections": found.sections, "bars": found.bars, "free_stretches": found.free_stretches,
        "notes": found.notes, "notes_from_names": found.from_names,
        "share_from_names": round(found.from_names / found.notes, 6) if found.notes else 0.0,
        "names": [{"name": name, "notes": count} for name, count in found.of_names],
        "busiest": found.busiest.part.name if found.busiest and found.busiest.notes else None,
        "parts": [_part(part) for part in found.parts],
    }  # fmt: skip


def _part(part: PartStats) -> dict[str, Any]:
    rest, instrument = part.longest_rest, part.part.instrument
    return {
        "part": part.part.name, "label": part.label, "notes": part.notes, "notes_from_names": part.from_names,
        "sounding_seconds": float(part.sounding),
        "lowest": None if part.lowest is None else str(part.lowest),
        "highest": None if part.highest is None else str(part.highest),
        "instrument_lowest": None if instrument.lowest is None else str(instrument.lowest),
        "instrument_highest": None if instrument.highest is None else str(instrument.highest),
        "outside": part.outside,
        "longest_rest": None if rest is None else {
            "seconds": float(rest.seconds), "movement": rest.begins.movement.name, "bar": rest.begins.bar,
            "whole_movement": rest.whole_movement,
        },
    }  # fmt: skip
