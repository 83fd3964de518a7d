"""The first system of a copy, before the rest of it is notated.

In: the first bars of a piece as they are placed. Out: the first system of a copy of them, drawn. It is as it is in the
whole, for how a passage looks follows from what stands in and near it; where something is decided far away, such as
which drums are tuned to what, whoever shows the system finds out by comparing it with that of the whole.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from cavata.desk.score.engraved import drawn_and_kept
from cavata.desk.score.first_bars import Beginning
from cavata.desk.score.seen import as_told
from cavata.desk.score.systems import Systems
from cavata.desk.state import copy_of
from cavata.notate.notate import notate
from cavata.notate.paper.systems import with_systems
from cavata.notate.written import WrittenPart, WrittenScore
from cavata.record import replace
from cavata.score.score import Score


def first_system(begun: Beginning) -> bytes:
    """What the page is told of the first system, its picture included, as JSON. Raises NotDrawn."""
    copy = copy_of(begun.copy, begun.score)
    now = Systems(begun.room).of(1, _notated(copy, begun))
    system = now.systems[0]
    cut = now.cut(system)
    told = {
        "copy": begun.copy, "room": begun.room, "title": begun.score.movements[0].title,
        "system": as_told(now, system), "picture": now.named(system, cut, drawn_and_kept(cut[0]).decode("utf-8")),
    }  # fmt: skip
    return json.dumps(told).encode("ascii")


def _notated(copy: Score, begun: Beginning) -> WrittenScore:
    """The first bars on the page; a part that plays later in the movement is not silent."""
    written = notate(copy)
    parts = tuple(_heard_in(begun.playing, written.movements[0].parts))
    first = with_systems(replace(written.movements[0], parts=parts), copy.header, True, copy.groups)
    return replace(written, movements=(first,))


def _heard_in(playing: frozenset[str], parts: tuple[WrittenPart, ...]) -> Iterator[WrittenPart]:
    for part in parts:
        players = {part.part.name, *(member.name for member in part.part.members)}
        yield replace(part, silent=part.silent and playing.isdisjoint(players))
