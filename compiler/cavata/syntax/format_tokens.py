"""A line of a statement as tokens, and how many spaces stand between two of them.

In: the text of one line. Out: its tokens and its comment; from tokens, the line again in its one
spacing. Knows the kinds of signs, no words of the language, so that a new statement needs nothing
new here. Strings and comments keep every character.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import Enum

from cavata.record import dataclass, replace


class Kind(Enum):
    """What a token is, as far as its surroundings care."""

    RUN = "a word, a number, a pitch: signs that the writer left together"
    STRING = "a text in quotes"
    OPEN = "("
    CLOSE = ")"
    COMMA = ","
    COLON = ":"
    EQUAL = "="
    BAR = "|"
    ARROW = "->"
    PLUS = "+"
    TIGHT_PLUS = "+ between numbers, as in 2+2+3"
    RANGE = ".."


@dataclass(frozen=True, slots=True)
class Token:
    """A token; `glued` where no space stood before it."""

    kind: Kind
    text: str
    glued: bool


_SIGNS = {
    "(": Kind.OPEN, ")": Kind.CLOSE, ",": Kind.COMMA, ":": Kind.COLON, "=": Kind.EQUAL, "|": Kind.BAR,
    "->": Kind.ARROW, "+": Kind.PLUS, "..": Kind.RANGE,
}  # fmt: skip
_ACCIDENTALS = str.maketrans({"♯": "#", "♭": "b", "𝄪": "##", "𝄫": "bb"})
# A comment first, as the layout pass has it; then what a dot or a colon would cut; a run is whatever else is together.
_TOKEN = re.compile(
    r"""
      (?P<comment> --.* )
    | (?P<string>  "(?:\\.|[^"\\])*" )
    | (?P<sign>    -> | \.\.(?!\.) | [(),=|+] )
    | (?P<number>  \d+/\d+\.{0,2}(?![\w.]) | \d+:\d+(?!\w) )
    | (?P<colon>   : )
    | (?P<run>     (?: (?! -> | -- | \.\. ) [^\ "(),=|+:] )+ | . )
    """,
    re.VERBOSE,
)
_TIGHT_AFTER = re.compile(r"(?:[^\W\d]\w*)?\.")


def tokens_of(line: str) -> tuple[tuple[Token, ...], str]:
    """The tokens of a line and its comment, which may be empty."""
    found: list[Token] = []
    end = 0
    for match in _TOKEN.finditer(line):
        text = match[0]
        if match["comment"]:
            return tuple(_tightened(found)), text.rstrip()
        if text == " ":
            continue
        kind = Kind.STRING if match["string"] else _SIGNS.get(text, Kind.RUN)
        spelled = text.translate(_ACCIDENTALS) if kind is Kind.RUN else text
        found.append(Token(kind, spelled, match.start() == end and bool(found)))
        end = match.end()
    return tuple(_tightened(found)), ""


def _tightened(tokens: Sequence[Token]) -> list[Token]:
    """A plus between two whole numbers groups beats, and stands without spaces."""
    out = list(tokens)
    for i in range(1, len(out) - 1):
        if out[i].kind is Kind.PLUS and out[i - 1].text.isdigit() and out[i + 1].text.isdigit():
            out[i] = replace(out[i], kind=Kind.TIGHT_PLUS)
    return out


def _gap(left: Token, right: Token) -> str:
    """What stands between two tokens of a line."""
    if right.kind in (Kind.CLOSE, Kind.COMMA, Kind.COLON, Kind.RANGE, Kind.TIGHT_PLUS):
        return ""
    if left.kind in (Kind.OPEN, Kind.RANGE, Kind.TIGHT_PLUS):
        return ""
    if right.kind is Kind.OPEN:
        # `weave(` is a combination, `in (` a word and a bracket: here a space has a meaning.
        return "" if right.glued and left.kind is Kind.RUN else " "
    if left.kind is Kind.RUN and right.kind is Kind.RUN:
        return "" if right.glued or right.text.startswith(".") or _TIGHT_AFTER.fullmatch(left.text) else " "
    return " "


def spaced(tokens: Sequence[Token], pads: Mapping[int, int]) -> str:
    """The tokens as text; `pads` are spaces more before the tokens of these numbers."""
    parts: list[str] = []
    for i, token in enumerate(tokens):
        if i:
            parts.append(_gap(tokens[i - 1], token) + " " * pads.get(i, 0))
        parts.append(token.text)
    return "".join(parts)


def depths_of(tokens: Sequence[Token], depth: int) -> list[int]:
    """How many brackets each token stands in, a bracket itself outside; `depth` are open before the first."""
    found = []
    for token in tokens:
        if token.kind is Kind.CLOSE:
            depth -= 1
        found.append(depth)
        if token.kind is Kind.OPEN:
            depth += 1
    return found


def head_end(tokens: Sequence[Token]) -> int:
    """The number of the token after a statement's own `=` or `:`; 0 where it has none."""
    for i, (token, depth) in enumerate(zip(tokens, depths_of(tokens, 0), strict=True)):
        if depth == 0 and token.kind in (Kind.EQUAL, Kind.COLON):
            return i + 1
    return 0
