"""Where each note of a copy came from, told in few words: for who has the page without the desk.

In: a state of the piece and a copy. Out: for each note by its id its bar and what its heads remember: name, letter,
inflection, and in what form the name sounds there. Notes that came alike share what is told.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.score.mapped import colors_of, piece_map
from cavata.desk.score.origin import head_of
from cavata.desk.score.seen import layout
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, as_json


def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The notes of a copy."""
    piece = piece_map(desk, state)
    colors, written = colors_of(piece), dict(piece.names)
    heads: list[dict[str, Any]] = []
    places: dict[str, int] = {}
    notes: dict[str, tuple[int, list[int]]] = {}
    with desk.still:
        for _, name, leaf, bar in layout(desk, state, wanted.get("copy", SCORE), wanted.get("room", "wide")).notes():
            found = []
            for head in leaf.event.event.heads if leaf.event is not None else ():
                told = head_of(head, colors, written)
                key = json.dumps(told)
                if key not in places:
                    places[key] = len(heads)
                    heads.append(told)
                found.append(places[key])
            notes.setdefault(name, (bar, found))
    return as_json({"heads": heads, "notes": notes})
