"""The grammar is LALR(1) without conflicts: Lark's strict mode refuses any (https://lark-parser.readthedocs.io)."""

from __future__ import annotations

import pytest
from lark import Lark
from lark.exceptions import GrammarError

from cavata.resources import folder
from cavata.syntax.parse import STARTS, StatementLexer


def strictly(grammar: str, starts: list[str]) -> Lark:
    return Lark(grammar, parser="lalr", start=starts, maybe_placeholders=True, strict=True, lexer=StatementLexer)


@pytest.mark.parametrize("name", ["cavata.lark", "edition-1.lark"])
def test_grammar_has_no_conflict(name: str) -> None:
    # Edition 1 knew no versions.
    starts = [start for start in STARTS if name == "cavata.lark" or start not in ("version_row", "profile_row")]
    assert strictly((folder("grammar") / name).read_text(encoding="utf-8"), starts).rules


def test_a_conflict_would_be_noticed() -> None:
    """A sum of sums may be read in two ways: the textbook case of a shift/reduce conflict."""
    with pytest.raises(GrammarError, match="Shift/Reduce"):
        strictly('start: sum\nsum: sum "+" sum | "x"\n', ["start"])
