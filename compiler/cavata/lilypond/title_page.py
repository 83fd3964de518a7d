"""The title page: a sheet of its own before the music.

In: what the page says. Out: the LilyPond text of one book part that holds it.
Titles stand in the upper third, then the forces and the movements; how to read the score stands at the foot.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.lilypond.literals import column, letters_across, ly_string
from cavata.score.score import Header, TitlePage
from cavata.text import capital, lines_of_text

_MANY_FORCES = 9
"""More lines than this stand in two columns."""
_NOTE_WIDTH, _NOTE_LINES = 84, 200
"""Characters in a line of a note on performance, and its lines at most."""
_WIDTH = 56
"""Characters in a line of the lists."""
_LINE = Fraction(39, 16)
"""The distance of lines of a list in staff spaces, on a staff of 20 points: about 12 points for type of 10 or 11."""

_TOGETHER = ("        ragged-bottom = ##t", "        ragged-last-bottom = ##t")
"""Paragraphs are not spread over what is left of the page."""


def title_page_text(page: TitlePage, header: Header, size: Fraction) -> str:
    """The title page; `size` is the height of the score's staves in points."""
    scale = 20 / size
    body = [*_titles(page, header, scale), *_facts(page, header, scale), *_movements(page, scale)]
    foot = _foot(page, header)
    lines = [
        "\\bookpart",
        "{",
        "    \\paper",
        "    {",
        f"        top-margin = {float(header.paper.height / 6):.1f}\\mm",
        "        bookTitleMarkup = ##f",
        "        oddHeaderMarkup = ##f",
        "        evenHeaderMarkup = ##f",
        f"        oddFooterMarkup = {foot}",
        f"        evenFooterMarkup = {foot}",
        "        print-page-number = ##f",
        *(_TOGETHER if header.notes else ()),
        "    }",
        "    \\markup \\column",
        "    {",
        *(f"        {line}" for line in body),
        "    }",
        *(f"    {line}" for line in _performance(header, scale)),
        "}",
    ]
    return "\n".join(lines) + "\n"


def _centered(style: str, text: str, header: Header, width: int, lines: int = 4) -> str:
    """Text in the middle of the page; `width` is how many characters a line of A4 holds."""
    shown = column(text, letters_across(width, header.paper), lines, "center-column")
    return f"\\fill-line {{ {style} {shown} }}"


def _gap(lines: Fraction | int, scale: Fraction) -> str:
    return f"\\vspace #{float(lines * scale):.2f}"


def _titles(page: TitlePage, header: Header, scale: Fraction) -> Iterator[str]:
    if header.dedication.strip():
        yield _centered("\\abs-fontsize #12 \\italic", header.dedication, header, 60)
        yield _gap(2, scale)
    if header.composer.strip():
        yield _centered("\\abs-fontsize #16", header.composer, header, 44)
        yield _gap(Fraction(5, 2), scale)
    if header.title.strip():
        yield _centered("\\abs-fontsize #30 \\bold", header.title, header, 24, 6)
        yield _gap(1, scale)
    if header.subtitle.strip():
        yield _centered("\\abs-fontsize #14", header.subtitle, header, 54)
    for person in page.people:
        yield _gap(1, scale)
        yield _centered("\\abs-fontsize #12", person, header, 60)
    yield _gap(3, scale)


def _facts(page: TitlePage, header: Header, scale: Fraction) -> Iterator[str]:
    if page.instrumentation:
        yield _centered("\\abs-fontsize #12", page.instrumentation, header, 80)
        yield _gap(1, scale)
    if page.forces:
        halves = [page.forces] if len(page.forces) <= _MANY_FORCES else _halves(page.forces)
        columns = " \\hspace #6 ".join(_column(half, scale, 3) for half in halves)
        yield f"\\fill-line {{ \\abs-fontsize #10.5 \\line {{ {columns} }} }}"
        yield _gap(1, scale)
    if page.length:
        yield _centered("\\abs-fontsize #11", capital(page.length), header, 60)
        yield _gap(1, scale)


def _halves(lines: tuple[str, ...]) -> list[tuple[str, ...]]:
    middle = -(-len(lines) // 2)
    return [lines[:middle], lines[middle:]]


def _column(lines: tuple[str, ...], scale: Fraction, most: int = 1) -> str:
    """Lines below one another, each broken into as many as `most`."""
    skip = f"\\override #'(baseline-skip . {float(_LINE * scale):.2f})"
    texts = " ".join(ly_string(text) for line in lines for text in lines_of_text(line, _WIDTH, most))
    return f"{skip} \\left-column {{ {texts} }}"


def _movements(page: TitlePage, scale: Fraction) -> Iterator[str]:
    if page.movements:
        titles = _column(tuple(title for title, _ in page.movements), scale)
        lengths = _column(tuple(length for _, length in page.movements), scale)
        yield _gap(1, scale)
        yield f"\\fill-line {{ \\abs-fontsize #11 \\line {{ {titles} \\hspace #4 \\italic {lengths} }} }}"


def _performance(header: Header, scale: Fraction) -> Iterator[str]:
    """The notes on performance, a paragraph each; every line for itself, so that long ones go on to another page."""
    for note in header.notes:
        yield f"\\markup {_gap(1, scale)}"
        for line in lines_of_text(note, letters_across(_NOTE_WIDTH, header.paper), _NOTE_LINES):
            yield f"\\markup \\abs-fontsize #11 {ly_string(line)}"


def _foot(page: TitlePage, header: Header) -> str:
    """How the score is to be read, and under it who publishes it under which number."""
    notes = [f"\\fill-line {{ {ly_string(note)} }}" for note in page.notes]
    rights = [
        f"\\fill-line {{ {column(text, _NOTE_WIDTH, 1)} }}"
        for text in (header.publisher, header.number, header.copyright) if text.strip()
    ]  # fmt: skip
    reading = f"\\italic \\column {{ {' '.join(notes)} }}" if notes else ""
    if rights:
        return f"\\markup \\abs-fontsize #10 \\column {{ {' '.join(filter(None, (reading, *rights)))} }}"
    return f"\\markup \\abs-fontsize #10 {reading}" if reading else "##f"
