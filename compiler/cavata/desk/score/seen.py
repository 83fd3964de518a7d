"""What the page asks for to show the score: its systems, and the picture of one.

In: a state of the piece, which copy, in which of `systems.ROOMS`. Out: JSON and SVG.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cavata.desk.answers import PICTURE
from cavata.desk.desk import Desk
from cavata.desk.score.systems import ROOMS, PageSystem, PageSystems, Systems, changed_ids
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, NotThere, as_json, number_of, whole_number
from cavata.draft import NotDrawn

_MOST_GLOWING = 400
"""Where more than so much changed by one save, nothing is picked out: it would be everything."""


def layout(desk: Desk, state: State, copy: str, room: str) -> PageSystems:
    """The systems of a copy of a state. Raises NotThere. Whoever calls it holds `desk.still`."""
    if room not in ROOMS:
        raise NotThere(f"there is no room `{room}`")
    try:
        written = state.written(copy)
    except KeyError:
        raise NotThere(f"there is no copy `{copy}`") from None
    kept: dict[tuple[str, str], Systems] = desk.shelf.setdefault("systems", {})
    if (copy, room) not in kept:
        before = desk.opening.breaks(copy, room) if desk.opening is not None else None
        kept[copy, room] = Systems(room, before, desk.first_system.begun(copy, room))
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
        systems = [as_told(now, each) for each in now.systems]
        told: dict[str, Any] = {"state": state.number, "copy": copy, "room": room, "systems": systems}
        if before is not None and before is not now:
            ids = changed_ids(before, now)
            told["changed"] = ids if len(ids) <= _MOST_GLOWING else ()
    return as_json(told)


def as_told(now: PageSystems, system: PageSystem) -> dict[str, Any]:
    """What the page is told of a system."""
    movement = now.score.movements[system.movement]
    frames = movement.frames[system.first : system.end]
    return {
        "number": system.number, "movement": movement.name, "bars": [frame.number for frame in frames],
        "first": system.first, "staves": now.staves(system),
        "width": round(now.width(system) / ROOMS[now.room], 3),
    }  # fmt: skip


def system(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The picture of a system, by its place among those of the copy, counted from 0."""
    with desk.still:
        now = layout(desk, state, wanted.get("copy", SCORE), wanted.get("room", "wide"))
        found = now.systems[whole_number(wanted.get("system", ""), len(now.systems), "system")]
        cut = now.cut(found)
    try:
        return Answer(PICTURE, now.picture(found, cut).encode("utf-8"))
    except NotDrawn:
        raise NotThere("Verovio could not draw this system") from None
