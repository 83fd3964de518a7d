"""The words of a script one by one, each with the terminal of the grammar that it is, also where a statement is broken.

In: a statement. Out: its tokens as far as the grammar can read them, and what may follow them. Statements are read once
for each text that they have.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache
from typing import Any
from unicodedata import normalize

from lark.exceptions import UnexpectedInput

from cavata.diagnostics import Diagnostics
from cavata.record import record
from cavata.source import Source, Span
from cavata.syntax.layout import Statement, lay_out
from cavata.syntax.parse import parser_and_builder

ROWS = {
    "piece": "piece_row", "cipher": "cipher_row", "forces": "force_row", "movement": "movement_row",
    "cadenza": "movement_row", "passage": "passage_row", "require": "require_row", "version": "version_row",
    "profile": "profile_row",
}  # fmt: skip
"""What the rows under a declaration are; under any other stand remarks only."""


@record
class WordToken:
    """A word of a script; `kind` is its terminal: `NAME`, `STRING`, or a keyword's."""

    kind: str
    start: int
    """In the whole text, as is `end`."""
    end: int
    text: str

    @property
    def name(self) -> str:
        """The word without a bracket that belongs to it; composed signs are one character each."""
        return self.text.rstrip("(")

    @property
    def name_end(self) -> int:
        """Where the name ends in the text, in which a sign may be composed of several characters."""
        return self.end - (len(self.text) - len(self.name))


@record
class ReadStatement:
    """What was read of a statement."""

    tokens: tuple[WordToken, ...]
    """Where it cannot be read further, the rest word by word."""
    follows: frozenset[str]
    """The terminals that may come after the last token, `$END` where the statement may end; none where something could
    not be read."""


@record
class ScriptRow:
    """A statement of a script, with what it is read as, and the statement under which it stands."""

    span: Span
    start: str
    above: ScriptRow | None
    last: int
    """The end of the last statement of its block, or its own."""

    @property
    def top(self) -> ScriptRow:
        """The declaration in which it stands, or that it is."""
        row = self
        while row.above is not None:
            row = row.above
        return row


def composed(word: str) -> str:
    """A word as the language compares it: a letter and its accent are one sign."""
    return normalize("NFC", word)


def script_rows(source: Source) -> tuple[ScriptRow, ...]:
    """Every statement of a script in order, those of blocks after their headings."""
    return tuple(_rows(lay_out(source, Diagnostics()), None))


def _rows(statements: tuple[Statement, ...] | list[Statement], above: ScriptRow | None) -> Iterator[ScriptRow]:
    for statement in statements:
        row = ScriptRow(statement.span, start_under(above), above, _last(statement))
        yield row
        yield from _rows(statement.block, row)


def _last(statement: Statement) -> int:
    while statement.block:
        statement = statement.block[-1]
    return statement.span.end


def start_under(above: ScriptRow | None) -> str:
    """What a statement is read as that stands under another, or under none."""
    if above is None:
        return "declaration"
    if above.above is None:
        return ROWS.get(above.span.text.split(maxsplit=1)[0], "remark")
    return "section_row"


def row_at(rows: tuple[ScriptRow, ...], offset: int) -> ScriptRow | None:
    """The last statement that begins at or before an offset."""
    number = bisect_right(rows, offset, key=lambda row: row.span.start)
    return rows[number - 1] if number else None


def read(span: Span, start: str) -> ReadStatement:
    """The tokens of a statement."""
    found = _read(span.text, start)
    at = span.start
    return ReadStatement(
        tuple([WordToken(t.kind, t.start + at, t.end + at, t.text) for t in found.tokens]), found.follows
    )


@lru_cache(maxsize=20_000)
def _read(text: str, start: str) -> ReadStatement:
    source = Source("", text)
    parser, builder = parser_and_builder()
    builder.read(source, Diagnostics())
    going: Any = parser.parse_interactive(Span(source, 0, len(text)), start)  # Lark's, without types
    tokens: list[WordToken] = []
    try:
        for token in going.lexer_thread.lex(going.parser_state):
            going.feed_token(token)
            assert token.start_pos is not None and token.end_pos is not None
            tokens.append(WordToken(token.type, token.start_pos, token.end_pos, str(token)))
    except UnexpectedInput:
        rest = going.lexer_thread.lexer.words_of(text, tokens[-1].end if tokens else 0)
        tokens += [WordToken(token.type, token.start_pos, token.end_pos, str(token)) for token in rest]
        return ReadStatement(tuple(tokens), frozenset())
    return ReadStatement(tuple(tokens), frozenset(going.accepts()))
