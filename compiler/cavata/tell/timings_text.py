"""Timings as a table for the terminal and as one JSON document. Times are exact until they are printed."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from cavata.discover.text_table import text_table
from cavata.score.clock import clock_text
from cavata.tell.timings import MovementTiming, SectionTiming, Taken, Timings

GIVEN = "given"
RULES = (
    "Tempi, their changes and repeats are counted exactly; pauses between movements are not counted.",
    "Free time is counted as if its tempo were strict, and a fermata as the time its row says: both are estimates.",
    "A fermata without a time, as `marked fermata`, is counted as nothing. Without a tempo a quarter is taken at 60.",
    "Whatever is an estimate the players decide; take these lengths as a guide.",
)


def timings_text(found: Timings) -> str:
    """Movements and sections with where they begin and what they take; then what was asked for, and the rules."""
    rows = [row for movement in found.movements for row in _rows(movement)]
    rows.append(("the whole", "", "", clock_text(found.taken.seconds), _how(found.taken)))
    table = text_table(("", "bars", "begins", "length", "how it is known"), rows, frozenset({2, 3}))
    lines = [found.title, "", table]
    verdict = _verdict(found)
    return "\n".join([*lines, *([verdict, ""] if verdict else []), *RULES]) + "\n"


def _rows(movement: MovementTiming) -> Iterator[tuple[str, str, str, str, str]]:
    how = _how(movement.taken)
    if movement.signs:
        plural = "s" if movement.signs > 1 else ""
        how += f"; {movement.signs} fermata{plural} without a time"
    name = movement.title or movement.name
    yield name, "", clock_text(movement.begins), clock_text(movement.taken.seconds), how
    for section in movement.sections:
        yield (
            f"  {section.name}", bars_text(section), clock_text(section.begins),
            clock_text(section.taken.seconds), _how(section.taken),
        )  # fmt: skip


def bars_text(section: SectionTiming) -> str:
    """`1-16`, or that there are none."""
    if section.free:
        return "free"
    first, last = section.first_bar, section.last_bar
    return str(first) if first == last else f"{first}-{last}"


def _how(taken: Taken) -> str:
    if taken.is_given:
        return GIVEN
    reasons = ", ".join(f"{reason} {seconds_text(seconds)}" for reason, seconds in taken.estimated)
    return f"estimated: {reasons}"


def seconds_text(seconds: Fraction) -> str:
    """`12 s`, or a tenth where it is less than ten."""
    return f"{round(seconds)} s" if seconds >= 10 else f"{float(seconds):.1f} s"


def _verdict(found: Timings) -> str:
    if found.shortest is None or found.longest is None:
        return ""
    least, most = _minutes(found.shortest), _minutes(found.longest)
    asked = f"{least} min" if least == most else f"{least} to {most} min"
    return f"Asked for: {asked}. The piece takes {clock_text(found.taken.seconds)}: {found.verdict}."


def _minutes(seconds: Fraction) -> str:
    return f"{float(seconds / 60):g}"


# ------------------------------------------------------------------ as a document


def timings_json(found: Timings) -> dict[str, Any]:
    """Every length in seconds, as a number and as an exact fraction."""
    return {
        "title": found.title,
        **_taken_json(found.taken),
        "asked": None if found.shortest is None or found.longest is None else {
            "shortest_seconds": float(found.shortest), "longest_seconds": float(found.longest),
            "verdict": found.verdict,
        },
        "movements": [
            {
                "name": movement.name, "title": movement.title, "begins_seconds": float(movement.begins),
                **_taken_json(movement.taken), "fermatas_without_a_time": movement.signs,
                "sections": [
                    {
                        "name": section.name, "title": section.title, "free_time": section.free,
                        "first_bar": None if section.free else section.first_bar,
                        "last_bar": None if section.free else section.last_bar,
                        "begins_seconds": float(section.begins), **_taken_json(section.taken),
                    }
                    for section in movement.sections
                ],
            }
            for movement in found.movements
        ],
    }  # fmt: skip


def _taken_json(taken: Taken) -> dict[str, Any]:
    return {
        "seconds": float(taken.seconds),
        "exact_seconds": str(taken.seconds),
        "given": taken.is_given,
        "estimated_seconds": {reason: float(seconds) for reason, seconds in taken.estimated},
    }
