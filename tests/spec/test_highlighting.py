"""Highlighting follows the grammar: made from it, it gives every word of every example the class that it is read as."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path

import pytest
from highlighting import CLASS_OF, PYGMENTS, SCOPES, TEXTMATE, classes, pygments, textmate

from cavata.editor.tokens import WordToken, read, script_rows
from cavata.resources import folder
from cavata.source import Source

SCRIPTS = sorted(folder("examples").rglob("*.cavata"))


MADE = [(TEXTMATE, textmate()), (PYGMENTS, pygments())]


@pytest.mark.parametrize(("path", "made"), MADE, ids=["textmate", "pygments"])
def test_it_is_made_from_the_grammar(path: Path, made: str, request: pytest.FixtureRequest) -> None:
    if request.config.getoption("--update"):
        path.write_text(made, "utf-8", newline="\n")
    assert path.read_text("utf-8") == made, f"{path.name} is old: pytest --update"


def tokens_of(text: str) -> list[WordToken]:
    """Every token of a script as the compiler reads it."""
    return [token for row in script_rows(Source("", text)) for token in read(row.span, row.start).tokens]


def may_be(token: WordToken) -> set[str]:
    """The classes that a token may have. A word of the grammar is a name wherever the grammar does not ask for it."""
    if token.kind in CLASS_OF:
        return {CLASS_OF[token.kind]}
    if token.kind == "CHORD_SYMBOL":
        return {"pitch", "name", "number", "sign", "word"}
    if token.name.isalpha() or token.kind in ("NAME", "CALL"):
        named = {"step", "call"} if token.text.endswith("(") else {"name", "word", "step"}
        return {*named, "declaration"} if token.kind != "NAME" else named
    return {"sign"}


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_every_token_of_an_example_gets_its_class(path: Path) -> None:
    text = path.read_text("utf-8")
    found = classes(text)
    assert [text[start:end] for start, end, kind in found if not kind] == []
    begun = {start: (end, kind) for start, end, kind in found}
    for token in tokens_of(text):
        assert token.start in begun, token
        end, kind = begun[token.start]
        assert kind in may_be(token), (token, kind)
        assert end <= token.end or token.kind == "CHORD_SYMBOL", (token, text[token.start : end])


def test_the_textmate_grammar_is_the_list_of_patterns() -> None:
    whole = json.loads(TEXTMATE.read_text("utf-8"))
    assert whole["scopeName"] == "source.cavata"
    assert {row["name"] for row in whole["patterns"]} == {scope for scope, _ in SCOPES.values()}


def test_pygments_lexer_gives_the_same_classes() -> None:
    pytest.importorskip("pygments")
    spec = importlib.util.spec_from_file_location("cavata_pygments", PYGMENTS)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    for path in SCRIPTS[:6]:
        text = path.read_text("utf-8")
        told = [
            (start, str(kind).removeprefix("Token."))
            for start, kind, value in module.CavataLexer(stripnl=False, ensurenl=False).get_tokens_unprocessed(text)
            if value.strip()
        ]
        assert told == [(start, SCOPES[kind][1].replace("String", "Literal.String").replace("Number", "Literal.Number"))
                        for start, _, kind in classes(text)]  # fmt: skip
