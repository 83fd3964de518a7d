"""What the page asks for to show the score: its systems, the picture of one, and the font of their signs.

In: a state of the piece, which copy, in which of `systems.ROOMS`. Out: JSON and SVG.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.score.systems import ROOMS, Layout, Systems, changed
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, NotThere, as_json, number_of, whole_number
from cavata.draft.fonts import font_of_music
from cavata.draft.music import NotDrawn

_MOST_GLOWING = 400
"""Where more than so much changed by one save, nothing is picked out: it would be everything."""


def layout(desk: Desk, state: State, copy: str, room: str) -> Layout:
    """The systems of a copy of a state. Raises NotThere. Whoever calls it holds `desk.still`."""
    if room not in ROOMS:
        raise NotThere(f"there is no room `{room}`")
    try:
        written = state.written(copy)
    except KeyError:
        raise NotThere(f"there is no copy `{copy}`") from None
    kept: dict[tuple[str, str], Systems] = desk.shelf.setdefault("systems", {})
    if (copy, room) not in kept:
        kept[copy, room] = Systems(room, desk.opening.breaks(copy, room) if desk.opening is not None else None)
    return kept[copy, room].of(state.number, written)


def score(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The systems of a copy; with `since`, the ids of what is other than in that state."""
    copy, room = wanted.get("copy", SCORE), wanted.get("room", "wide")
    since = number_of(wanted.get("since", ""))
    earlier = None if since is None else desk.held(since)
    with desk.still:
        # First the earlier one: what was seen of it may have been kept from another time, and nothing of it be known.
        before = None if earlier is None or earlier.score is None else layout(desk, earlier, copy, room)
        now = layout(desk, state, copy, room)
        told: dict[str, Any] = {"state": state.number, "copy": copy, "room": room, "systems": _systems(now)}
        if before is not None and before is not now:
            ids = changed(before, now)
            told["changed"] = ids if len(ids) <= _MOST_GLOWING else ()
    return as_json(told)


def _systems(now: Layout) -> list[dict[str, Any]]:
    found = []
    for each in now.systems:
        movement = now.score.movements[each.movement]
        frames = movement.frames[each.first : each.end]
        found.append({
            "number": each.number, "movement": movement.name, "bars": [frame.number for frame in frames],
            "first": each.first, "staves": now.staves(each),
            "width": round(now.width(each) / ROOMS[now.room], 3),
        })  # fmt: skip
    return found


def system(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The picture of a system, by its place among those of the copy, counted from 0."""
    with desk.still:
        now = layout(desk, state, wanted.get("copy", SCORE), wanted.get("room", "wide"))
        found = now.systems[whole_number(wanted.get("system", ""), len(now.systems), "system")]
        cut = now.cut(found)
    try:
        return Answer("image/svg+xml; charset=utf-8", now.picture(found, cut).encode("utf-8"))
    except NotDrawn:
        raise NotThere("Verovio could not draw this system") from None


def font(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The music font of the pictures, for the signs in their texts: dynamics, note values of tempi."""
    return Answer("font/woff2", font_of_music())
