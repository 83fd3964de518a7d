"""Tables for a terminal: columns as wide as their widest cell, two spaces between."""

from __future__ import annotations

from collections.abc import Sequence

from cavata.diagnostics.width import columns


def text_table(head: Sequence[str], rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> str:
    """The table with a ruled head; columns numbered in `right` stand to the right. Ends in a line end."""
    lines = [head, *rows]
    widths = [max(columns(line[column]) for line in lines) for column in range(len(head))]
    written = [_line(line, widths, right) for line in lines]
    rule = "  ".join("-" * width for width in widths)
    return "\n".join([written[0], rule, *written[1:]]) + "\n"


def _line(cells: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    padded = []
    for column, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        space = " " * (width - columns(cell))
        padded.append(space + cell if column in right else cell + space)
    return "  ".join(padded).rstrip()
