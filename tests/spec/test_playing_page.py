"""The page about playing: its tables are made of the kinds of the families, of the techniques and of the limits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import isfinite

import pytest
from book import GRAMMAR, with_made

from cavata.instruments.techniques import groups, rows
from cavata.playing.playing import FAMILIES
from cavata.playing.profile import AMATEURS, LIMITS, PROFESSIONAL
from cavata.playing.profiles import in_words

PAGE = GRAMMAR / "playing.md"
MESSAGES = GRAMMAR / "messages"


def _kinds() -> Iterator[str]:
    yield "| of | kind | what is looked at | impossible | rests on |\n|---|---|---|---|---|\n"
    told: set[str] = set()
    for family in FAMILIES:
        for kind in family.load().KINDS:
            if kind.word not in told:
                told.add(kind.word)
                code = f"[{kind.code}](messages/{kind.code}.md)" if kind.code else ""
                yield f"| {family.of} | {kind.word} | {kind.looked_at} | {code} | {kind.rests_on} |\n"


def _techniques() -> Iterator[str]:
    yield "| signs | who has them | who has them with care |\n|---|---|---|\n"
    for _, row in rows():
        signs = " ".join(f"`{sign}`" for sign in row["signs"])
        yield f"| {signs} | {_whom(row['has'])} | {_whom(row.get('care', []))} |\n"
    yield "\nGroups in italics:\n\n"
    yield from (f"- *{name}*: {', '.join(words)}\n" for name, words in groups().items())


def _whom(words: Sequence[str]) -> str:
    return ", ".join(f"*{word}*" if word in groups() else word for word in words)


def _limits() -> Iterator[str]:
    yield "| limit | unit | professional | amateurs | what it is | rests on |\n|---|---|---|---|---|---|\n"
    for name, limit in LIMITS.items():
        usual, amateur = (_number(getattr(profile, name)) for profile in (PROFESSIONAL, AMATEURS))
        yield f"| `{in_words(name)}` | {limit.unit} | {usual} | {amateur} | {limit.means} | {limit.rests_on} |\n"


def _number(limit: float) -> str:
    return f"{limit:g}" if isfinite(limit) else "none"


def _made(text: str) -> str:
    """The page with its three tables made afresh."""
    for begin, made in (
        ("<!-- made from the kinds of the families -->\n", _kinds()),
        ("<!-- made from the table of techniques -->\n", _techniques()),
        ("<!-- made from the table of limits -->\n", _limits()),
    ):
        assert begin in text
        text = with_made(text, "".join(made), begin)
    return text


def test_tables_of_the_page_are_those_of_the_compiler(request: pytest.FixtureRequest) -> None:
    text = PAGE.read_text("utf-8")
    if request.config.getoption("--update"):
        PAGE.write_text(_made(text), "utf-8", newline="\n")
    assert PAGE.read_text("utf-8") == _made(text), "playing.md is old: pytest --update"


def test_every_warning_of_a_kind_has_a_page() -> None:
    codes = [kind.code for family in FAMILIES for kind in family.load().KINDS if kind.code]
    assert codes
    assert [code for code in codes if not (MESSAGES / f"{code}.md").is_file()] == []


def test_phrases_of_the_tables_begin_small_and_end_without_a_stop() -> None:
    phrases = [kind.looked_at for family in FAMILIES for kind in family.load().KINDS]
    phrases += [limit.means for limit in LIMITS.values()]
    assert [phrase for phrase in phrases if not re.match(r"[a-z]", phrase) or phrase.endswith(".")] == []
