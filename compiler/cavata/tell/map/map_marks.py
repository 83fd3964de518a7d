"""The marks of the map: a colour for each name, a shape and a hatching for each form.

In: a mark's place on the page. Out: SVG. Each name has besides its colour a lane of its own in every part, and each
form a shape or a hatching, so that nothing is told by colour alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.score.colours import PALETTE
from cavata.tell.map.drawing import element
from cavata.tell.map.map import Shape

BEYOND = "#6b6b6b"
"""Of names beyond the seventh, for which there is no colour that all could tell apart."""
OUTLINE = "#222222"
_STEP = 4
"""Of hatching, in units of the page."""


def colour_of(number: int) -> str:
    """The colour of the name of that number, counted from 0."""
    return PALETTE[number] if number < len(PALETTE) else BEYOND


def tint(colour: str) -> str:
    """The same colour, three quarters of the way to white: the ground under hatching."""
    parts = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return "#" + "".join(f"{part + (255 - part) * 3 // 4:02x}" for part in parts)


def patterns(count: int) -> Iterator[str]:
    """The hatchings of so many names, to be defined once."""
    for number in range(count):
        colour = colour_of(number)
        ground = element("rect", {"width": _STEP, "height": _STEP, "fill": tint(colour)})
        for shape, path in _HATCHES.items():
            if shape is Shape.WOVEN:
                drawn = element("circle", {"cx": 2, "cy": 2, "r": 1.15, "fill": _dark(colour)})
            else:
                drawn = element("path", {"d": path, "stroke": _dark(colour), "stroke-width": 1.3, "fill": "none"})
            yield element(
                "pattern",
                {"id": _pattern(number, shape), "width": _STEP, "height": _STEP, "patternUnits": "userSpaceOnUse"},
                ground + drawn,
            )


_HATCHES = {
    Shape.BACKWARDS: "M-1 3 L1 5 M-1 -1 L5 5 M3 -1 L5 1",
    Shape.UPSIDE_DOWN: "M-1 1 L1 -1 M-1 5 L5 -1 M3 5 L5 3",
    Shape.BOTH: "M-1 -1 L5 5 M-1 5 L5 -1",
    Shape.WOVEN: "",
}


def _pattern(number: int, shape: Shape) -> str:
    return f"p{number}-{shape.value.replace('_', '-')}"


def _dark(colour: str) -> str:
    """The colour, made darker where it is pale, so that hatching shows."""
    parts = [int(colour[place : place + 2], 16) for place in (1, 3, 5)]
    return "#" + "".join(f"{part * 2 // 3:02x}" for part in parts) if sum(parts) > 380 else colour


def mark(shape: Shape, number: int, x: float, y: float, width: float, height: float) -> str:
    """A mark of a form in the colour of a name."""
    look: dict[str, object] = {"fill": colour_of(number), "stroke": OUTLINE, "stroke-width": 0.4}
    match shape:
        case Shape.CHORD:
            tip = min(width / 2, height / 2)
            points = [(x, y + height / 2), (x + tip, y), (x + width - tip, y), (x + width, y + height / 2),
                      (x + width - tip, y + height), (x + tip, y + height)]  # fmt: skip
            return element("polygon", {"points": _points(points), **look})
        case Shape.BROKEN:
            points = [(x, y + height), (x + width, y), (x + width, y + height)]
            return element("polygon", {"points": _points(points), **look})
        case Shape.SOLID:
            return element("rect", {"x": x, "y": y, "width": width, "height": height, **look})
        case _:
            look["fill"] = f"url(#{_pattern(number, shape)})"
            return element("rect", {"x": x, "y": y, "width": width, "height": height, **look})


def _points(points: list[tuple[float, float]]) -> str:
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
