"""Long texts in lines.

In: one line of text and a width in columns. Out: lines of at most that width, broken at spaces, between the letters of
scripts that are written without spaces, and else where a word is longer than a line; a letter and its accents stay
together.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from cavata.diagnostics.width import column_width, columns

ELLIPSIS = "…"
_TIE = "\N{NO-BREAK SPACE}"
_TAIL = 3
"""Letters of a last word that would look lost in a line of its own."""


def wrapped(text: str, width: int) -> list[str]:
    """The text in lines."""
    if columns(text) == len(text):
        return textwrap.wrap(text, width)
    lines = [""]
    for chunk, gap in _chunks(text, width):
        line = lines[-1] + (" " if gap and lines[-1] else "") + chunk
        if columns(line) > width and lines[-1]:
            lines.append(chunk)
        else:
            lines[-1] = line
    return lines if lines != [""] else []


def without_short_tail(text: str, width: int) -> list[str]:
    """The text in lines, a short last word beside the one before: `Horns III, IV in F` is not broken before the `F`."""
    *head, last = text.rsplit(" ", 1)
    if not head or columns(last) > _TAIL:
        return wrapped(text, width)
    return [line.replace(_TIE, " ") for line in wrapped(f"{head[0]}{_TIE}{last}", width)]


def shortened(text: str, width: int) -> str:
    """As much of the text as leaves room for the dots that stand for the rest."""
    kept = ""
    for letter in _letters(text):
        if columns(kept + letter) > width - 1:
            break
        kept += letter
    return kept + ELLIPSIS


def _chunks(text: str, width: int) -> Iterator[tuple[str, bool]]:
    """What is not broken, each with whether a space goes before it."""
    for word in text.split():
        chunk, gap = "", True
        for letter in _letters(word):
            wide = column_width(letter[0]) == 2
            if chunk and (wide or column_width(chunk[0]) == 2 or columns(chunk + letter) > width):
                yield chunk, gap
                chunk, gap = "", False
            chunk += letter
        yield chunk, gap


def _letters(text: str) -> Iterator[str]:
    """The letters with the marks that stand on them."""
    letter = ""
    for sign in text:
        if letter and column_width(sign):
            yield letter
            letter = ""
        letter += sign
    if letter:
        yield letter
