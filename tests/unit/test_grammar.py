"""The grammar is LALR(1) without conflicts: Lark's strict mode refuses any (https://lark-parser.readthedocs.io)."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import pytest
from lark import Lark
from lark.exceptions import GrammarError

from cavata.resources import folder
from cavata.syntax import tree as t
from cavata.syntax.build import Builder
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


# ---------------------------------------------------------------- what the rows of a block become

ROWS: dict[str, Any] = {
    "piece_row": t.PieceRow, "cipher_row": get_type_hints(t.Cipher)["rows"], "force_row": t.Force,
    "section_row": t.ParsedRow, "passage_row": get_type_hints(t.Passage)["rows"], "require_row": t.Promise,
    "version_row": t.VersionRow,
}  # fmt: skip
"""What may stand in each block, by the types that the passes after this one know."""


@cache
def read_loosely() -> Lark:
    text = (folder("grammar") / "cavata.lark").read_text("utf-8")
    return Lark(text, parser="lalr", start=list(STARTS), maybe_placeholders=True)


def read_in(start: str) -> Iterator[str]:
    """The methods that are called for the statements of a block."""
    for rule in read_loosely().rules:
        if rule.origin.name == start:
            only = rule.expansion[0]
            if rule.alias or len(rule.expansion) > 1 or only.is_term:
                yield str(rule.alias or start)
            elif hasattr(Builder, only.name):
                yield only.name
            else:
                yield from read_in(only.name)


def classes(kind: Any) -> set[Any]:
    """Those of a union or a tuple, none of them generic any more."""
    if get_origin(kind) in (UnionType, Union, tuple):
        return {one for part in get_args(kind) if part is not ... for one in classes(part)}
    return {get_origin(kind) or kind} - {Any}


@pytest.mark.parametrize("start", ROWS)
def test_passes_know_whatever_a_block_may_hold(start: str) -> None:
    """A row of any other class would be left out in silence: `mypy` follows the types from here on."""
    rows = set(read_in(start))
    made = {name: classes(get_type_hints(getattr(Builder, name))["return"]) for name in rows}
    unknown = {name: kinds for name, kinds in made.items() if not kinds <= {*classes(ROWS[start]), t.Text}}
    assert made and unknown == {}, "each belongs to the union of these rows in syntax/tree.py"
