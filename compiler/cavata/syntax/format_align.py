"""Columns: what stands under what.

In: the lines of a page. Out: the same lines with spaces where neighbours are aligned. Only
statements of one block with no blank line and no line of comment between them are neighbours, so
that an edit moves few lines; a long beginning stays out and pushes nobody.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from cavata.diagnostics.width import columns
from cavata.record import dataclass
from cavata.syntax.format_lines import Line
from cavata.syntax.format_tokens import Kind, Token, depths_of, head_end, spaced

WIDEST_HEAD = 32
"""Columns before `=` or after `:` beyond which a statement is not aligned with its neighbours."""
COMMENTS_AT = 48
"""The column, counted from 0, where comments beside code begin if the code leaves room."""
FARTHEST_COMMENT = 72
"""Neighbours make room for a longer line as far as this; beyond it a comment follows its own line."""
SETTINGS = frozenset(["meter", "key", "tempo", "pickup"])


@dataclass(frozen=True, slots=True)
class Heading:
    """The first line of a statement, and the block it stands in."""

    line: Line
    block: int
    """One number for the rows of one block; 0 at the left margin."""
    above: str
    """The first word of the statement whose block it is; empty at the left margin."""


Column = tuple[object, ...]


def runs(lines: Iterable[Line]) -> Iterator[list[Line]]:
    """Lines without a blank line or a comment alone between them."""
    run: list[Line] = []
    for line in lines:
        if not line.ends_run:
            run.append(line)
        elif run:
            yield run
            run = []
    if run:
        yield run


def align(headings: Iterable[Heading]) -> None:
    """Align the first lines of the statements of one run."""
    columns_of: dict[Column, list[tuple[Line, int, int]]] = {}
    for heading in headings:
        for column, before, width in _places(heading):
            columns_of.setdefault(column, []).append((heading.line, before, width))
    for places in columns_of.values():
        widest = max(width for _, _, width in places)
        for line, before, width in places:
            if width < widest:
                line.pads[before] = widest - width


def _places(heading: Heading) -> Iterator[tuple[Column, int, int]]:
    """The columns that a line takes part in: which, the token that is moved, the width before it."""
    tokens = heading.line.tokens
    end = head_end(tokens)
    if end:
        sign = tokens[end - 1].kind
        aligned = end if sign is Kind.COLON else end - 1
        width = columns(spaced(tokens[:aligned], {}))
        if width > WIDEST_HEAD or end == len(tokens) or (sign is Kind.COLON and _is_marking(tokens[:end])):
            return
        kind = "" if heading.above else tokens[0].text
        yield (heading.block, sign, kind), aligned, width
        if tokens[end].kind is Kind.STRING and end + 1 < len(tokens) and tokens[end + 1].kind is Kind.RUN:
            yield (heading.block, sign, kind, tokens[end + 1].text), end + 1, columns(tokens[end].text)
    elif len(tokens) > 1 and (
        tokens[0].text in SETTINGS if heading.above != "piece" else _is_plain(tokens[1])
    ):
        yield (heading.block, "row"), 1, columns(tokens[0].text)


def _is_marking(head: tuple[Token, ...]) -> bool:
    """`strings bars 13 to 16:` says where, at length; its items are not one voice's beginning."""
    return any(t.text == "bars" and d == 0 for t, d in zip(head, depths_of(head, 0), strict=True))


def _is_plain(token: Token) -> bool:
    return token.kind is Kind.STRING or token.text[:1].isdigit()


def comment_columns(run: Iterable[Line]) -> Iterator[tuple[Line, int]]:
    """For each line of a run with a comment beside its code, the column where the comment begins.

    Only lines that follow one another with a comment each make room for one another.
    """
    for has_comment, group in groupby(run, key=lambda line: bool(line.comment)):
        if has_comment:
            ends = [(line, columns(line.code) + 2) for line in group]
            shared = max([COMMENTS_AT, *(end for _, end in ends if end <= FARTHEST_COMMENT)])
            yield from ((line, max(shared, end)) for line, end in ends)
