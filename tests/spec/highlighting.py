"""Highlighting for editors and pages, made from the grammar and the tables of transforms.

In: `grammar/cavata.lark` and the tables. Out: a TextMate grammar and a lexer for Pygments, both flat lists of patterns,
tried in order at each place. Run by `pytest --update`; a test compares, and asks that every word gets its class.
"""

from __future__ import annotations

import json
import re
from functools import cache

from cavata.resources import folder
from cavata.syntax.layout import DECLARATIONS
from cavata.syntax.parse import parser_and_builder
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

TEXTMATE = folder("grammar") / "cavata.tmLanguage.json"
PYGMENTS = folder("grammar") / "cavata_pygments.py"
SCOPES = {
    "comment": ("comment.line.double-dash.cavata", "Comment.Single"),
    "text": ("string.quoted.double.cavata", "String.Double"),
    "declaration": ("keyword.declaration.cavata", "Keyword.Declaration"),
    "word": ("keyword.other.cavata", "Keyword"),
    "step": ("support.function.cavata", "Name.Builtin"),
    "call": ("entity.name.function.cavata", "Name.Function"),
    "pitch": ("constant.other.pitch.cavata", "Name.Constant"),
    "interval": ("constant.other.interval.cavata", "Name.Constant"),
    "duration": ("constant.numeric.duration.cavata", "Number"),
    "number": ("constant.numeric.cavata", "Number.Integer"),
    "name": ("variable.other.cavata", "Name"),
    "sign": ("keyword.operator.cavata", "Operator"),
}
"""For each class its scope in TextMate's naming, and its token in Pygments'."""
CLASS_OF = {
    "STRING": "text", "DURATION": "duration", "RATIO": "duration", "DECIMAL": "number", "INT": "number",
    "PITCH": "pitch", "PITCH_CLASS": "pitch", "INTERVAL": "interval",
}  # fmt: skip
"""Terminals of the grammar that have a class of their own."""
_WORD = r"[^\W\d]\w*"


@cache
def terminals() -> dict[str, str]:
    """The patterns of the grammar's terminals that are no words."""
    parser, _ = parser_and_builder()
    return {each.name: each.pattern.value for each in parser.terminals if each.pattern.type == "re"}


@cache
def words() -> tuple[str, ...]:
    """Every word that the grammar knows by itself, in order, without those that begin declarations."""
    parser, _ = parser_and_builder()
    found = {each.pattern.value for each in parser.terminals if each.pattern.type == "str"}
    return tuple(sorted(word for word in found if word.isalpha() and word not in DECLARATIONS))




def patterns() -> tuple[tuple[str, str], ...]:
    """What is tried in turn at each place: class and pattern. The first that matches there counts."""
    known = terminals()
    steps = "|".join(sorted(TRANSFORMS, key=lambda word: (-len(word), word)))
    combinations = "|".join(sorted(COMBINATIONS, key=lambda word: (-len(word), word)))
    declared = "|".join(sorted(DECLARATIONS, key=lambda word: (-len(word), word)))
    inner = "|".join(sorted(words(), key=lambda word: (-len(word), word)))
    return (
        ("comment", "--[^\\n]*"),
        ("text", r'"(?:\\.|[^"\\\n])*"'),
        ("declaration", rf"^(?:{declared})\b"),
        ("step", rf"(?<=-> )(?:{steps})\b"),
        ("step", rf"\b(?:{combinations}|notes|chords|chord)\("),
        ("call", rf"{_WORD}\("),
        ("pitch", known["PITCH"]),
        ("interval", rf"\b{known['INTERVAL']}"),
        ("pitch", rf"\b{known['PITCH_CLASS']}"),
        ("duration", known["DURATION"]),
        ("duration", known["RATIO"]),
        ("number", known["DECIMAL"]),
        ("number", known["INT"]),
        ("word", rf"\b(?:{inner})\b"),
        ("name", _WORD),
        ("sign", r"->|\.\.|[=+:,.|()/]"),
    )


def textmate() -> str:
    """The grammar as TextMate, and every editor that reads its files, has it."""
    rows = [{"name": SCOPES[kind][0], "match": pattern} for kind, pattern in patterns()]
    whole = {"name": "Cavata", "scopeName": "source.cavata", "fileTypes": ["cavata"], "patterns": rows}
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def pygments() -> str:
    """The lexer for Pygments."""
    rows = "\n".join(f"            ({pattern!r}, {SCOPES[kind][1]})," for kind, pattern in patterns())
    return f'''"""Scripts of Cavata for Pygments: `pygmentize -x -l cavata_pygments.py:CavataLexer piece.cavata`.

Made from the grammar; `pytest --update tests/spec/test_highlighting.py` makes it anew.
"""
# ruff: noqa: E501

import re

from pygments.lexer import RegexLexer
from pygments.token import Comment, Keyword, Name, Number, Operator, String, Whitespace


class CavataLexer(RegexLexer):
    """Words, notes and numbers of a script."""

    name = "Cavata"
    aliases = ["cavata"]
    filenames = ["*.cavata"]
    flags = re.MULTILINE
    tokens = {{
        "root": [
            (r"\\s+", Whitespace),
{rows}
        ]
    }}
'''


def classes(text: str) -> list[tuple[int, int, str]]:
    """The classes of a text by the patterns, each at its place: the earliest match, and of those the first pattern."""
    compiled = [(kind, re.compile(pattern, re.MULTILINE)) for kind, pattern in patterns()]
    found, at = [], 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        for kind, pattern in compiled:
            match = pattern.match(text, at)
            if match and match.end() > at:
                found.append((at, match.end(), kind))
                at = match.end()
                break
        else:
            found.append((at, at + 1, ""))
            at += 1
    return found
