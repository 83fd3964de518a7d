"""Text of the user as LilyPond literals.

In: any string at all. Out: a literal that LilyPond reads as that text and nothing else, or markup made of such
literals. Nothing a script says reaches the page by another way, so no title can run as Scheme or as a command.
"""

from __future__ import annotations

from cavata.names.paper import USUAL, Paper
from cavata.text import lines_of_text, plain_text


def ly_string(text: str) -> str:
    """A LilyPond string literal; inside one only backslash and double quote are special."""
    return '"' + plain_text(text).replace("\\", "\\\\").replace('"', '\\"') + '"'


def letters_across(on_a4: int, paper: Paper) -> int:
    """How many letters a line holds on a paper, where one of A4 upright holds so many."""
    return round(on_a4 * paper.width / USUAL.width)


def column(text: str, width: int, most: int, kind: str = "column") -> str:
    """The text as markup, broken into a `column`, `center-column` or `right-column` where it is long."""
    lines = lines_of_text(text, width, most)
    if len(lines) == 1:
        return ly_string(lines[0])
    return f"\\{kind} {{ " + " ".join(ly_string(line) for line in lines) + " }"
