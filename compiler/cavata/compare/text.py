"""A comparison as lines for a terminal, and as plain data for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from cavata.compare.changes import Change, Comparison, Kind, Pair, Place, Sounding, Spot
from cavata.score.clock import time_in_words
from cavata.score.whereabouts import listed

SAME = "the music is the same"
_MOST_PLACES = 10


def comparison_text(comparison: Comparison) -> str:
    """One line for the whole piece, then a line for each change under its movement."""
    if comparison.same:
        return f"{comparison.title}: {SAME}\n"
    count = len(comparison.changes)
    lines = [f"{comparison.title}: {count} change{'s' if count > 1 else ''}{_clock(comparison)}"]
    titles = dict(comparison.movements)
    movement = ""
    for change in comparison.changes:
        if change.movement != movement:
            movement = change.movement
            title = titles.get(movement, "")
            lines.append(movement + (f' "{title}"' if title else ""))
        lines.append("  " + change_text(change, comparison.groups))
    return "\n".join(lines) + "\n"


def change_text(change: Change, groups: Sequence[tuple[str, tuple[str, ...]]] = ()) -> str:
    """`bars 5 to 12, violin1 and violin2: a major third higher`."""
    where = ", ".join(text for text in (places_text(change), parts_text(change.parts, groups)) if text)
    if not where:
        return change.said
    if change.kind is Kind.BARS and not change.said[0].isdigit():
        return f"{where} {change.said}"
    return f"{where}: {change.said}"


def parts_text(parts: Sequence[str], groups: Sequence[tuple[str, tuple[str, ...]]]) -> str:
    """The parts, by the name of a group where they are just that group."""
    for name, members in groups:
        if len(parts) > 1 and set(members) == set(parts):
            return name
    return listed(parts)


def places_text(change: Change) -> str:
    """`bar 3 beat 2`, `bars 5 to 12 and 20`."""
    if not change.places:
        return ""
    places = change.places[:_MOST_PLACES]
    beats = {place.first.in_bar for place in places}
    beat = "" if change.whole_bars or len(beats) > 1 else f" {beats.pop()}"
    shown = list(dict.fromkeys(_place(place, change.whole_bars, not beat) for place in places))
    more = len(change.places) - _MOST_PLACES
    several = len(shown) > 1 or (change.whole_bars and " to " in shown[0])
    text = listed([*shown, f"{more} more"] if more > 0 else shown)
    if change.whole_bars or beat:
        text = f"{'bars' if several else 'bar'} {text}{',' if several and beat else ''}{beat}"
    return f"{text} of the old version" if change.places[0].old else text


def _place(place: Place, whole_bars: bool, with_beat: bool) -> str:
    if not whole_bars:
        return f"bar {place.first.bar} {place.first.in_bar}" if with_beat else str(place.first.bar)
    first, last = place.first.bar, place.last.bar
    return str(first) if first == last else f"{first} to {last}"


def _clock(comparison: Comparison) -> str:
    """How much longer or shorter the piece has become, by the clock."""
    more = comparison.new_length - comparison.old_length
    if round(more) == 0:
        return ""
    takes, by = time_in_words(comparison.new_length), time_in_words(abs(more))
    return f"; it takes {takes}, {by} {'longer' if more > 0 else 'shorter'}"


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """The comparison as plain data."""
    return {
        "same": comparison.same,
        "title": comparison.title,
        "seconds": {"old": round(float(comparison.old_length), 3), "new": round(float(comparison.new_length), 3)},
        "changes": [_change_data(change, comparison.groups) for change in comparison.changes],
    }


def _change_data(change: Change, groups: Sequence[tuple[str, tuple[str, ...]]]) -> dict[str, Any]:
    return {
        "kind": change.kind.value,
        "text": change_text(change, groups),
        "said": change.said,
        "movement": change.movement,
        "parts": list(change.parts),
        "places": [
            {"from": _spot_data(place.first), "to": _spot_data(place.last), "version": "old" if place.old else "new"}
            for place in change.places
        ],
        "notes": [dict(_pair_data(pair)) for pair in change.pairs],
    }


def _spot_data(spot: Spot) -> dict[str, Any]:
    return {"bar": spot.bar, "in_bar": spot.in_bar, "onset": str(spot.onset)}


def _pair_data(pair: Pair) -> Iterator[tuple[str, Any]]:
    yield "part", pair.part
    yield "old", None if pair.old is None else _sounding_data(pair.old)
    yield "new", None if pair.new is None else _sounding_data(pair.new)


def _sounding_data(sounding: Sounding) -> dict[str, Any]:
    event = sounding.events[0]
    return {
        "pitches": [str(head.pitch) for head in event.event.heads],
        "duration": str(sounding.duration),
        **_spot_data(sounding.spot),
        "script": {"file": event.line.source.name, "line": event.line.line},
    }
