"""Cutting a statement into the grammar's terminals, where the parser's state says which of them can stand.

In: the span of one statement. Out: its tokens, with their places in the whole text. A word is a keyword exactly where
the grammar asks for that keyword, else a name: the same rule as Lark's contextual lexer has. It is written anew because
that one compiles a pattern for each of the parser's states, counts lines, and takes three times as long.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Any

from lark import Token
from lark.common import LexerConf
from lark.exceptions import UnexpectedCharacters, UnexpectedToken
from lark.lexer import Lexer

from cavata.source import Span

_NAMES = frozenset(["NAME", "CALL"])
"""They are the same however their accents were typed: Unicode's normal form C."""


class StatementLexer(Lexer):
    """One pattern for all terminals; no two of them that are patterns match at the same place.

    What the grammar gives a priority goes before them, but only where the parser's state asks for it.
    """

    __future_interface__ = 2  # Lark then hands over our own input, and the parser's state with it

    def __init__(self, lexer_conf: LexerConf) -> None:
        self._words = {d.pattern.value: d.name for d in lexer_conf.terminals if d.pattern.type == "str"}
        signs = sorted(self._words, key=len, reverse=True)
        patterns = [d for d in lexer_conf.terminals if d.pattern.type == "re"]
        self._first = [(d.name, re.compile(d.pattern.to_regexp())) for d in patterns if d.priority > 0]
        self._patterns = {d.name: d.pattern.to_regexp() for d in patterns if d.priority <= 0}
        groups = [f"(?P<{name}>{pattern})" for name, pattern in sorted(self._patterns.items())]
        self._match = re.compile("|".join([*groups, *map(re.escape, signs)])).match
        self._ignored = frozenset(lexer_conf.ignore)

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Token]:
        """The statement's tokens. Raises Lark's errors for what no terminal, or none that can stand there, matches."""
        span: Span = lexer_state.text
        text, position, end = span.source.text, span.start, span.end
        states = parser_state.parse_conf.states
        while position < end:
            accepted = states[parser_state.position]
            for first, pattern in self._first:
                if first in accepted and (found := pattern.match(text, position, end)):
                    yield Token(first, found[0], position, end_pos=found.end())
                    position, accepted = found.end(), states[parser_state.position]
            if position >= end:
                break
            found = self._match(text, position, end)
            if found is None:
                allowed = self._allowed(accepted)
                raise UnexpectedCharacters(text, position, 0, 0, allowed)  # type: ignore[no-untyped-call]  # Lark's
            kind, value = found.lastgroup, found[0]
            if kind not in self._ignored:
                word = self._words.get(value)
                if word is not None and (word in accepted or kind is None):
                    kind = word
                assert kind is not None
                if not value.isascii() and kind in _NAMES:
                    value = unicodedata.normalize("NFC", value)
                token = Token(kind, value, position, end_pos=found.end())
                if kind not in accepted:
                    raise UnexpectedToken(token, self._allowed(accepted))  # type: ignore[no-untyped-call]  # Lark's
                yield token
            position = found.end()

    def _allowed(self, accepted: Iterable[str]) -> set[str]:
        """The terminals that can stand in a state of the parser, or else the statement's end.

        A name stands for the keywords that look like one.
        """
        patterns = [re.compile(self._patterns[name]) for name in accepted if name in self._patterns]
        words = {n for word, n in self._words.items() if n in accepted and any(p.fullmatch(word) for p in patterns)}
        return {name for name in accepted if name.isupper() and name != "$END"} - words or {"$END"}
