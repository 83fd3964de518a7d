"""The map of a piece as an SVG picture.

In: the map, and how a place in the script is linked to. Out: the picture's text, the same for the same script. Time
goes across, parts stand one below another, each with a lane for each name; above lies how dense the notes are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import count

from cavata.record import record
from cavata.score.clock import clock_text
from cavata.score.colors import PALETTE
from cavata.source import Span
from cavata.tell.index_shown import form_text, printed_bar
from cavata.tell.language import LanguageWords
from cavata.tell.map.drawing import INK, PALE, element, escaped, label, shortened, svg, width_of
from cavata.tell.map.map import MapMark, MarkShape, PieceMap
from cavata.text import heading, readable

# ----------------------------------------------------------------
# The marks of the map: a color for each name, a shape and a hatching for each form.
#
# In: a mark's place on the page. Out: SVG. Each name has besides its color a lane of its own in every part, and each
# form a shape or a hatching, so that nothing is told by color alone.


BEYOND = "#6b6b6b"
"""Of names beyond the seventh, for which there is no color that all could tell apart."""
OUTLINE = "#222222"
_STEP = 4
"""Of hatching, in units of the page."""


def color_of(number: int) -> str:
    """The color of the name of that number, counted from 0."""
    return PALETTE[number] if number < len(PALETTE) else BEYOND


def tint(color: str) -> str:
    """The same color, three quarters of the way to white: the ground under hatching."""
    parts = (int(color[place : place + 2], 16) for place in (1, 3, 5))
    return "#" + "".join(f"{part + (255 - part) * 3 // 4:02x}" for part in parts)


def patterns(count: int) -> Iterator[str]:
    """The hatchings of so many names, to be defined once."""
    for number in range(count):
        color = color_of(number)
        ground = element("rect", {"width": _STEP, "height": _STEP, "fill": tint(color)})
        for shape, path in _HATCHES.items():
            if shape is MarkShape.WOVEN:
                drawn = element("circle", {"cx": 2, "cy": 2, "r": 1.15, "fill": _dark(color)})
            else:
                drawn = element("path", {"d": path, "stroke": _dark(color), "stroke-width": 1.3, "fill": "none"})
            yield element(
                "pattern",
                {"id": _pattern(number, shape), "width": _STEP, "height": _STEP, "patternUnits": "userSpaceOnUse"},
                ground + drawn,
            )


_HATCHES = {
    MarkShape.RETROGRADE: "M-1 3 L1 5 M-1 -1 L5 5 M3 -1 L5 1",
    MarkShape.INVERSION: "M-1 1 L1 -1 M-1 5 L5 -1 M3 5 L5 3",
    MarkShape.BOTH: "M-1 -1 L5 5 M-1 5 L5 -1",
    MarkShape.WOVEN: "",
}


def _pattern(number: int, shape: MarkShape) -> str:
    return f"p{number}-{shape.value.replace('_', '-')}"


def _dark(color: str) -> str:
    """The color, made darker where it is pale, so that hatching shows."""
    parts = [int(color[place : place + 2], 16) for place in (1, 3, 5)]
    return "#" + "".join(f"{part * 2 // 3:02x}" for part in parts) if sum(parts) > 380 else color


def mark(shape: MarkShape, number: int, x: float, y: float, width: float, height: float) -> str:
    """A mark of a form in the color of a name."""
    look: dict[str, object] = {"fill": color_of(number), "stroke": OUTLINE, "stroke-width": 0.4}
    match shape:
        case MarkShape.CHORD:
            tip = min(width / 2, height / 2)
            points = [(x, y + height / 2), (x + tip, y), (x + width - tip, y), (x + width, y + height / 2),
                      (x + width - tip, y + height), (x + tip, y + height)]  # fmt: skip
            return element("polygon", {"points": _points(points), **look})
        case MarkShape.BROKEN:
            points = [(x, y + height), (x + width, y), (x + width, y + height)]
            return element("polygon", {"points": _points(points), **look})
        case MarkShape.SOLID:
            return element("rect", {"x": x, "y": y, "width": width, "height": height, **look})
        case _:
            look["fill"] = f"url(#{_pattern(number, shape)})"
            return element("rect", {"x": x, "y": y, "width": width, "height": height, **look})


def _points(points: list[tuple[float, float]]) -> str:
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)


# ----------------------------------------------------------------
# The measures of the map's page: where time, parts and lanes lie.
#
# In: the map. Out: lengths in units of the page, which is as wide as a sheet of A4 on its side.


WIDTH = 1120.0
"""For a window or a poster."""
IN_A_GUIDE = 760.0
"""For a page of A4, where its smallest letters have nearly five points, and for the column of text on a screen."""
MARGIN = 14.0
NAME_SIZE, SMALL = 9.5, 8.0
"""Sizes of letters."""
_WIDEST_LABEL = 150.0
_TITLE, _DENSITY, _HEADS = 46.0, 48.0, 30.0
_GAP = 4.0
_NAMELESS = 3.0
"""The height of the lane of notes that no name gave."""


@record
class MapLayout:
    """Where everything lies."""

    left: float
    """Where time begins."""
    right: float
    density_top: float
    density_foot: float
    top: float
    """Of the first part."""
    lane: float
    """The height of a name's lane."""
    row: float
    """The height of a part, with the space below it."""
    foot: float
    """Of the last part."""
    seconds: Fraction

    @property
    def width(self) -> float:
        """Of the whole picture."""
        return self.right + MARGIN

    def x(self, seconds: Fraction) -> float:
        """Where a moment lies."""
        return self.left + float(seconds / self.seconds) * (self.right - self.left) if self.seconds else self.left

    def row_top(self, part: int) -> float:
        """Where a part's first lane begins."""
        return self.top + part * self.row

    def lane_top(self, part: int, name: int) -> float:
        """Where the lane of a name begins."""
        return self.row_top(part) + _GAP / 2 + name * self.lane


def page_of(piece: PieceMap, width: float = WIDTH) -> MapLayout:
    """The measures that a map of this width needs."""
    names = len(piece.names)
    longest = max((width_of(part, NAME_SIZE) for part in piece.parts), default=0)
    left = MARGIN + min(longest, _WIDEST_LABEL) + 14
    lane = 9.0 if names <= 3 else 7.5 if names <= 5 else 6.0
    row = max(names * lane + _NAMELESS + _GAP, NAME_SIZE + 5)
    density_top = MARGIN + _TITLE
    top = density_top + _DENSITY + _HEADS
    return MapLayout(
        left, width - MARGIN, density_top, density_top + _DENSITY, top, lane, row, top + row * len(piece.parts),
        max(piece.index.length, Fraction(1, 10)),
    )  # fmt: skip


# ----------------------------------------------------------------

Link = Callable[[Span], str] | None
"""Where the line of a mark lies, seen from the picture; None for a picture that leads nowhere."""
_LEAST_WIDTH = 2.5
_TICKS = (5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600)
_BIN = 4.0
"""The width of a bar of the density, in units of the page."""
_LINE = 13.0
"""From base line to base line under the map."""
_GRID = {"stroke": "#9a9a9a", "stroke-width": 0.6}
_SHAPES = (
    (MarkShape.SOLID, "solid"), (MarkShape.RETROGRADE, "retrograde"), (MarkShape.INVERSION, "inversion"),
    (MarkShape.BOTH, "both"), (MarkShape.CHORD, "chord"), (MarkShape.BROKEN, "broken"), (MarkShape.WOVEN, "woven"),
)  # fmt: skip


def map_svg(piece: PieceMap, link: Link, words: LanguageWords, width: float = WIDTH) -> str:
    """The picture."""
    page = page_of(piece, width)
    under, foot = _under(piece, page, words)
    body = [
        element("defs", {}, "".join(patterns(len(piece.names)))),
        *_title(piece, page, words), *_density(piece, page, words), *_rows(piece, page), *_movements(piece, page),
        *_axis(page), *_marks(piece, page, link, words), *under,
    ]  # fmt: skip
    about = words.text("map-about")
    if link is not None:
        about = f"{about} {words.text('map-linked')}"
    return svg(page.width, foot + MARGIN, words.text("map-title", title=piece.index.title), about, body)


def _title(piece: PieceMap, page: MapLayout, words: LanguageWords) -> Iterator[str]:
    room = page.width - 2 * MARGIN
    yield label(MARGIN, MARGIN + 15, shortened(piece.index.title, room, 17, True), 17, bold=True)
    facts = [piece.composer] if piece.composer else []
    facts.append(words.text("map-length", clock=clock_text(piece.index.length)))
    yield label(MARGIN, MARGIN + 31, shortened(" · ".join(facts), room, NAME_SIZE), NAME_SIZE, color=PALE)


# ------------------------------------------------------------------ above and beside


def _density(piece: PieceMap, page: MapLayout, words: LanguageWords) -> Iterator[str]:
    """Notes a second, those from names at the foot."""
    bins = max(1, int((page.right - page.left) / _BIN))
    named, others = [0] * bins, [0] * bins
    for seconds, from_name in piece.onsets:
        place = min(bins - 1, int(seconds / page.seconds * bins))
        (named if from_name else others)[place] += 1
    most = max((a + b for a, b in zip(named, others, strict=True)), default=0)
    if not most:
        return
    width, height = (page.right - page.left) / bins, page.density_foot - page.density_top
    for place, (low, high) in enumerate(zip(named, others, strict=True)):
        x, foot = page.left + place * width, page.density_foot
        for notes, color in ((low, "#4d4d4d"), (high, "#c4c4c4")):
            if notes:
                tall = notes / most * height
                foot -= tall
                look = {"x": x, "y": foot, "width": width, "height": tall, "fill": color}
                yield element("rect", look)
    a_second = most / float(page.seconds / bins)
    room = page.left - MARGIN - 6
    for line, text in enumerate((words.text("map-density"), words.text("map-most", notes=f"{a_second:.0f}"))):
        yield label(page.left - 6, page.density_top + 9 + line * 11, shortened(text, room, SMALL), SMALL, "end", PALE)


def _rows(piece: PieceMap, page: MapLayout) -> Iterator[str]:
    for number, part in enumerate(piece.parts):
        y = page.row_top(number)
        if number % 2 == 0:
            look = {"x": MARGIN, "y": y, "width": page.right - MARGIN, "height": page.row, "fill": "#f3f3f3"}
            yield element("rect", look)
        text = shortened(part, page.left - MARGIN - 8, NAME_SIZE)
        yield label(page.left - 6, y + page.row / 2 + NAME_SIZE * 0.35, text, NAME_SIZE, "end")
        lane = page.lane_top(number, len(piece.names))
        for begins, ends in piece.nameless[number]:
            width = max(page.x(ends) - page.x(begins), 0.8)
            yield element("rect", {"x": page.x(begins), "y": lane, "width": width, "height": 2, "fill": "#8c8c8c"})


def _movements(piece: PieceMap, page: MapLayout) -> Iterator[str]:
    """Lines and titles of movements, lines and numbers of sections; a number stands where there is room for it."""
    numbers = count(1)
    for movement in piece.movements:
        x, end = page.x(movement.begins), page.x(movement.begins + movement.taken.seconds)
        look = {"x1": x, "x2": x, "y1": page.density_top, "y2": page.foot, "stroke": INK, "stroke-width": 1}
        yield element("line", look)
        text = shortened(heading(movement.title, movement.name), end - x - 6, NAME_SIZE, True)
        if text:
            yield label(x + 3, page.density_foot + 12, text, NAME_SIZE, bold=True)
        for section in movement.sections:
            at, number = page.x(section.begins), str(next(numbers))
            if section.begins > movement.begins:
                yield element("line", {"x1": at, "x2": at, "y1": page.density_foot + 17, "y2": page.foot, **_GRID})
            room = min(page.x(section.begins + section.taken.seconds), end) - at - 4
            if width_of(number, SMALL) <= room:
                yield label(at + 3, page.density_foot + 25, number, SMALL, color=PALE)


def _axis(page: MapLayout) -> Iterator[str]:
    step = next((t for t in _TICKS if page.seconds / t <= 16), _TICKS[-1])
    yield element("line", {"x1": page.left, "x2": page.right, "y1": page.foot, "y2": page.foot, **_GRID})
    end = clock_text(page.seconds)
    limit = page.right - width_of(end, SMALL) - 10
    for number in range(int(page.seconds / step) + 1):
        seconds = Fraction(number * step)
        x, text = page.x(seconds), clock_text(seconds)
        yield element("line", {"x1": x, "x2": x, "y1": page.foot, "y2": page.foot + 4, **_GRID})
        if x + width_of(text, SMALL) / 2 <= limit:
            yield label(x, page.foot + 13, text, SMALL, "middle", PALE)
    yield label(page.right, page.foot + 13, end, SMALL, "end", PALE)


# ------------------------------------------------------------------ the marks


def _marks(piece: PieceMap, page: MapLayout, link: Link, words: LanguageWords) -> Iterator[str]:
    lanes = {name: number for number, (name, _) in enumerate(piece.names)}
    for found in piece.marks:
        x, lane = page.x(found.begins), lanes[found.name]
        width = max(page.x(found.ends) - x, _LEAST_WIDTH)
        y, height = page.lane_top(found.part, lane) + 0.5, page.lane - 1
        if not found.whole:
            y, height = y + height / 2, height / 2
        drawn = mark(found.shape, lane, x, y, width, height)
        said = _told(found, piece.parts[found.part], _called(piece), words)
        line = found.entry.statement.line
        told = said if link is None else f"{said} {line.source.name}:{line.line}"
        leads = link(line) if link is not None else ""
        inside = element("title", {}, escaped(told)) + drawn
        yield element("a", {"href": leads}, inside) if leads else element("g", {}, inside)


def _called(piece: PieceMap) -> dict[str, str]:
    """How each name is called: by its letters, and where two have the same, by its name in the script too."""
    letters = Counter(written.casefold() for _, written in piece.names)
    return {
        name: written if letters[written.casefold()] == 1 else f"{written} ({readable(name)})"
        for name, written in piece.names
    }  # fmt: skip


def _told(found: MapMark, part: str, names: dict[str, str], words: LanguageWords) -> str:
    """What a mark says when it is pointed at."""
    place = found.place
    bar = words.text("place-free") if place.bar is None else words.text("place-bar", bar=printed_bar(place))
    letters = " ".join(letter.text for letter in found.entry.statement.letters)
    return (
        f"{names[found.name]}: {letters}, {form_text(found.entry, words, names)}. "
        f"{part}, {place.movement_title}, {bar}, {clock_text(found.begins)}."
    )


# ------------------------------------------------------------------ below


def _under(piece: PieceMap, page: MapLayout, words: LanguageWords) -> tuple[list[str], float]:
    """The legend and the list of sections, and where they end."""
    drawn: list[str] = []
    y = page.foot + 34
    for drawing in (_legend_names(piece, words), _legend_shapes(words)):
        x = MARGIN
        for picture, text in drawing:
            width = 24 + width_of(text, NAME_SIZE) + 14
            if x + width > page.right and x > MARGIN:
                x, y = MARGIN, y + _LINE + 3
            room = page.right - x - 24
            drawn += [picture(x, y - 8), label(x + 24, y, shortened(text, room, NAME_SIZE), NAME_SIZE)]
            x += width
        y += _LINE + 6
    for line in _key(piece, page.width - 2 * MARGIN):
        drawn.append(label(MARGIN, y, shortened(line, page.width - 2 * MARGIN, SMALL), SMALL, color=PALE))
        y += _LINE
    return drawn, y


_Picture = Callable[[float, float], str]


def _legend_names(piece: PieceMap, words: LanguageWords) -> Iterator[tuple[_Picture, str]]:
    for number, name in enumerate(_called(piece).values()):
        place = words.text("map-place", number=number + 1)
        text = words.text("map-lane", name=name, place=place) if len(piece.names) > 1 else name
        yield _pictured(MarkShape.SOLID, number), text
    if any(piece.nameless):
        yield _bar, words.text("map-nameless")


def _bar(x: float, y: float) -> str:
    return element("rect", {"x": x, "y": y + 3, "width": 18, "height": 2, "fill": "#8c8c8c"})


def _pictured(shape: MarkShape, number: int, part: bool = False) -> _Picture:
    if part:
        return lambda x, y: mark(shape, number, x, y + 4.5, 18, 4.5)
    return lambda x, y: mark(shape, number, x, y, 18, 9)


def _legend_shapes(words: LanguageWords) -> Iterator[tuple[_Picture, str]]:
    for shape, key in _SHAPES:
        yield _pictured(shape, 0), words.text(f"map-shape-{key}")
    yield _pictured(MarkShape.SOLID, 0, part=True), words.text("map-shape-part")


def _key(piece: PieceMap, width: float) -> Iterator[str]:
    """Movements with their sections and when each begins, in lines of this width."""
    number = 0
    for movement in piece.movements:
        line, between = f"{heading(movement.title, movement.name)}, {clock_text(movement.begins)}", ": "
        for section in movement.sections:
            number += 1
            more = f"{number} {heading(section.title, section.name)} {clock_text(section.begins)}"
            if width_of(f"{line}{between}{more}", SMALL) > width:
                yield line
                line = more
            else:
                line = f"{line}{between}{more}"
            between = " · "
        yield line
