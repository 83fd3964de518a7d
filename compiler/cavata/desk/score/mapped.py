"""The map as the way through the piece: one strip of time with every name in a lane of its own.

In: a state of the piece. Out: the strip as SVG, drawn with the marks of `tell.map`, and when each bar begins, so that
the page can go from a place to a bar and back. What is repeated stands as often as it is heard.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.state import State
from cavata.desk.views import Answer, NotThere, as_json
from cavata.score.clock import Clock, clock_text, starts
from cavata.tell.index_shown import form_text, printed_bar
from cavata.tell.language import language
from cavata.tell.map.drawing import element, escaped, label, shortened, width_of
from cavata.tell.map.map import MapMark, PieceMap, map_of
from cavata.tell.map.svg import color_of, mark, patterns
from cavata.text import readable

WIDTHS: Mapping[str, float] = {"wide": 1200.0, "narrow": 420.0}
"""How wide the strip is, in units of its own, by the rooms of the score."""
_MARGIN, _HEADS, _LANE, _FOOT = 6.0, 30.0, 11.0, 16.0
_LEAST_WIDTH = 2.5
_SIZE, _SMALL = 11.0, 9.0
_HELD = 3


def piece_map(desk: Desk, state: State) -> PieceMap:
    """The map of a state, made once."""
    score, plan, program = state.score, state.compiled.plan, state.compiled.program
    if score is None or plan is None or program is None:
        raise NotThere("there is no score yet")
    kept: OrderedDict[int, tuple[State, PieceMap]] = desk.shelf.setdefault("maps", OrderedDict())
    with desk.still:
        known = kept.get(state.number)
        if known is None or known[0] is not state:
            known = kept[state.number] = state, map_of(program, plan, score)
            while len(kept) > _HELD:
                kept.popitem(last=False)
        return known[1]


def colors_of(piece: PieceMap) -> dict[str, str]:
    """The color of each name."""
    return {name: color_of(number) for number, (name, _) in enumerate(piece.names)}


def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The strip, and the seconds at which bars begin."""
    room = wanted.get("room", "wide")
    if room not in WIDTHS:
        raise NotThere(f"there is no room `{room}`")
    piece = piece_map(desk, state)
    assert state.score is not None
    strip = _Strip(piece, WIDTHS[room])
    clocks = [Clock(movement) for movement in state.score.movements]
    movements = [
        {
            "name": movement.name, "title": movement.title or readable(movement.name), "begins": float(begins),
            "bars": [[bar.number, round(float(begins + clock.between(movement.bars[0].onset, bar.onset)), 3)]
                     for bar in movement.bars],
        }
        for movement, clock, begins in zip(state.score.movements, clocks, starts(clocks), strict=True)
    ]  # fmt: skip
    return as_json({
        "state": state.number, "svg": strip.drawn(), "left": _MARGIN, "right": strip.width - _MARGIN,
        "width": strip.width, "height": strip.height, "top": _HEADS, "length": float(piece.index.length),
        "clock": clock_text(piece.index.length), "movements": movements,
    })  # fmt: skip


class _Strip:
    """The picture."""

    def __init__(self, piece: PieceMap, width: float) -> None:
        self.piece, self.width = piece, width
        self.lanes = {name: number for number, (name, _) in enumerate(piece.names)}
        self.foot = _HEADS + max(1, len(self.lanes)) * _LANE
        self.height = self.foot + _FOOT
        self._words = language("en")

    def x(self, seconds: Any) -> float:
        """Where a moment lies."""
        length = self.piece.index.length
        return _MARGIN + float(seconds / length if length else 0) * (self.width - 2 * _MARGIN)

    def drawn(self) -> str:
        """The SVG."""
        body = "".join((
            element("defs", {}, "".join(patterns(len(self.lanes)))),
            *self._ground(), *self._movements(), *self._marks(),
        ))  # fmt: skip
        return element(
            "svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {self.width:g} {self.height:g}"}, body
        )  # fmt: skip

    def _ground(self) -> Iterator[str]:
        inside = self.width - 2 * _MARGIN
        for lane in range(max(1, len(self.lanes))):
            place = {"x": _MARGIN, "y": _HEADS + lane * _LANE, "width": inside, "height": _LANE}
            yield element("rect", {**place, "class": "lane even" if lane % 2 else "lane"})
        for seconds in (self.piece.index.length / 4 * part for part in range(5)):
            x, text = self.x(seconds), clock_text(seconds)
            anchor = "start" if not seconds else "end" if seconds == self.piece.index.length else "middle"
            yield label(x, self.foot + 12, text, _SMALL, anchor)

    def _movements(self) -> Iterator[str]:
        for movement in self.piece.movements:
            x, end = self.x(movement.begins), self.x(movement.begins + movement.taken.seconds)
            yield element("line", {"x1": x, "x2": x, "y1": 4, "y2": self.foot, "class": "movement"})
            title = shortened(movement.title or readable(movement.name), end - x - 6, _SIZE)
            if title:
                yield label(x + 3, 13, title, _SIZE)
            free = 0.0
            for section in movement.sections:
                at = self.x(section.begins)
                if section.begins > movement.begins:
                    yield element("line", {"x1": at, "x2": at, "y1": 17, "y2": self.foot, "class": "section"})
                said = section.title or readable(section.name)
                if said and at >= free and at + 3 + width_of(said, _SMALL) <= end:
                    free = at + 6 + width_of(said, _SMALL)
                    yield label(at + 3, 26, said, _SMALL)

    def _marks(self) -> Iterator[str]:
        for found in self.piece.marks:
            lane = self.lanes[found.name]
            x = self.x(found.begins)
            width = max(self.x(found.ends) - x, _LEAST_WIDTH)
            y, height = _HEADS + lane * _LANE + 1, _LANE - 2
            if not found.whole:
                y, height = y + height / 2, height / 2
            said = element("title", {}, escaped(self._told(found)))
            place: dict[str, object] = {
                "class": "mark", "data-name": found.name, "data-movement": found.place.movement.name,
                "data-bar": "" if found.place.bar is None else found.place.bar,
            }  # fmt: skip
            yield element("g", place, said + mark(found.shape, lane, x, y, width, height))

    def _told(self, found: MapMark) -> str:
        names = dict(self.piece.names)
        bar = "" if found.place.bar is None else f", bar {printed_bar(found.place)}"
        letters = " ".join(letter.text for letter in found.entry.statement.letters)
        form = form_text(found.entry, self._words, names)
        where = f"{self.piece.parts[found.part]}, {found.place.movement_title}{bar}"
        return f"{names[found.name]}: {letters}, {form}. {where}"
