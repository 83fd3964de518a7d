"""What stands above the music of a draft, and at the head and foot of its pages.

In: a copy and one of its movements. Out: the head of a first page in the terms of MEI, which Verovio reads and makes
room for; and for each page the words at its edges, as they are put into its picture.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from cavata.notate.paper.page import INNER_MM, OUTER_MM
from cavata.notate.written import WrittenMovement, WrittenScore
from cavata.text import dashed, lines_of_text, plain_text

EDGE_MM = 10
"""From the edge of the paper to the line on which page numbers stand."""
FOOT_MM = 3.5
"""From the lower edge of the paper to the last line at the foot."""
_LINE_MM, _FOOT_LETTERS = 3.5, 110
_POINT_MM = 25.4 / 72
_NUMBER, _RUNNING = 11, 9
_LINES = 4
_LETTERS = {"title": 44, "subtitle": 80, "other": 90, "side": 34}
"""How many letters stand on a line."""


def head(score: WrittenScore, movement: WrittenMovement, opens: bool, scale: float) -> str:
    """MEI's `pgHead` above a movement. Where it `opens` the copy it has the titles; `scale` is for sizes in points."""
    rows = [*(_titles(score, scale) if opens else ())]
    title = f"{movement.heading}: tacet" if movement.tacet else movement.title
    rows += _rows(title, "other", "center", "bottom", 13 * scale, 'fontweight="bold"')
    if movement is score.movements[0]:
        for name, color in score.header.colors:
            rows += [_rend("\u25cf " + plain_text(name), "left", "bottom", 9 * scale, f"color={quoteattr(color)}")]
        rows += _rows(score.colors_note, "other", "left", "bottom", 9 * scale, "")
    return f'<pgHead func="first">{"".join(rows)}</pgHead>'


def _titles(score: WrittenScore, scale: float) -> Iterator[str]:
    header = score.header
    yield from _rows(header.dedication, "other", "center", "top", 10 * scale, 'fontstyle="italic"')
    yield from _rows(header.title, "title", "center", "top", 22 * scale, 'fontweight="bold"')
    yield from _rows(header.subtitle, "subtitle", "center", "top", 12 * scale, "")
    yield from _rows(header.reader, "side", "left", "middle", 12 * scale, "")
    yield from _rows(header.poet, "side", "left", "middle", 11 * scale, "")
    yield from _rows(header.composer, "side", "right", "middle", 11 * scale, "")
    yield from _rows(header.arranged_by, "side", "right", "middle", 11 * scale, "")


def _rows(text: str, kind: str, across: str, down: str, size: float, look: str) -> Iterator[str]:
    if text.strip():
        for line in lines_of_text(text, _LETTERS[kind], _LINES):
            yield _rend(line, across, down, size, look)
        if down == "top":
            # The letters of the next line would touch these.
            yield _rend("\u00a0", across, down, size / 3, "")


def _rend(line: str, across: str, down: str, size: float, look: str) -> str:
    return (
        f'<rend halign="{across}" valign="{down}" fontsize="{size:.2f}pt" {look}>{escape(line)}</rend>'
    )


def edges(score: WrittenScore, number: int, opens: bool, per_mm: float) -> str:
    """The words at the edges of a page, as SVG, `per_mm` units a millimeter: its number and what is running there."""
    width, height = float(score.header.paper.width), float(score.header.paper.height)
    right = number % 2 == 1
    texts: list[tuple[str, float, float, str, float, str]] = []
    if not opens:
        outer = width - OUTER_MM if right else OUTER_MM
        texts.append((str(number), outer, EDGE_MM, "end" if right else "start", _NUMBER, "normal"))
        running = dashed(score.header.title, score.header.reader)
        line = next(iter(lines_of_text(running, _LETTERS["other"], 1)), "")
        texts.append((line, width / 2, EDGE_MM, "middle", _RUNNING, "italic"))
    feet = _feet(score, opens)
    for place, (line, style) in enumerate(reversed(feet)):
        texts.append((line, width / 2, height - FOOT_MM - place * _LINE_MM, "middle", _RUNNING, style))
    return "".join(
        f'<text class="edge" x="{x * per_mm:.0f}" y="{y * per_mm:.0f}" text-anchor="{anchor}" font-style="{style}" '
        f'font-size="{size * _POINT_MM * per_mm:.0f}px">{escape(plain_text(text))}</text>'
        for text, x, y, anchor, size, style in texts
    )


def _feet(score: WrittenScore, opens: bool) -> list[tuple[str, str]]:
    """The lines at the foot of a page, each with its style: on the first one whose the rights are."""
    header = score.header
    rights = ((header.copyright, "normal"), (header.publisher, "normal")) if opens else ()
    said = (*rights, (header.number, "normal"), (header.foot, "italic"))
    return [(lines_of_text(text, _FOOT_LETTERS, 1)[0], style) for text, style in said if text.strip()]


def margins(number: int) -> tuple[int, int]:
    """Left and right margin of a page in millimeters; it is bound at the wider one."""
    return (INNER_MM, OUTER_MM) if number % 2 else (OUTER_MM, INNER_MM)
