"""The lines of one statement: how deep each stands, and where one that is too long is broken.

In: lines as tokens. Out: lines with their indentation, none longer than `WIDEST` that can be
broken. Breaks that the writer made stay; a line is broken at the loosest sign in it: before a
comma, a plus or an arrow; inside brackets after a comma or a bar.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from cavata.record import record, replace
from cavata.text import columns

# ----------------------------------------------------------------
# A line of a statement as tokens, and how many spaces stand between two of them.
#
# In: the text of one line. Out: its tokens and its comment; from tokens, the line again in its one
# spacing. Knows the kinds of signs, no words of the language, so that a new statement needs nothing
# new here. Strings and comments keep every character.


class TokenKind(Enum):
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


@record
class FormatToken:
    """A token; `glued` where no space stood before it."""

    kind: TokenKind
    text: str
    glued: bool


_SIGNS = {
    "(": TokenKind.OPEN, ")": TokenKind.CLOSE, ",": TokenKind.COMMA, ":": TokenKind.COLON, "=": TokenKind.EQUAL,
    "|": TokenKind.BAR, "->": TokenKind.ARROW, "+": TokenKind.PLUS, "..": TokenKind.RANGE,
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


def tokens_of(line: str) -> tuple[tuple[FormatToken, ...], str]:
    """The tokens of a line and its comment, which may be empty."""
    found: list[FormatToken] = []
    end = 0
    for match in _TOKEN.finditer(line):
        text = match[0]
        if match["comment"]:
            return tuple(_tightened(found)), text.rstrip()
        if text == " ":
            continue
        kind = TokenKind.STRING if match["string"] else _SIGNS.get(text, TokenKind.RUN)
        spelled = text.translate(_ACCIDENTALS) if kind is TokenKind.RUN else text
        found.append(FormatToken(kind, spelled, match.start() == end and bool(found)))
        end = match.end()
    return tuple(_tightened(found)), ""


def _tightened(tokens: Sequence[FormatToken]) -> list[FormatToken]:
    """A plus between two whole numbers groups beats, and stands without spaces."""
    out = list(tokens)
    for i in range(1, len(out) - 1):
        if out[i].kind is TokenKind.PLUS and out[i - 1].text.isdigit() and out[i + 1].text.isdigit():
            out[i] = replace(out[i], kind=TokenKind.TIGHT_PLUS)
    return out


def _gap(left: FormatToken, right: FormatToken) -> str:
    """What stands between two tokens of a line."""
    if right.kind in (TokenKind.CLOSE, TokenKind.COMMA, TokenKind.COLON, TokenKind.RANGE, TokenKind.TIGHT_PLUS):
        return ""
    if left.kind in (TokenKind.OPEN, TokenKind.RANGE, TokenKind.TIGHT_PLUS):
        return ""
    if right.kind is TokenKind.OPEN:
        # `weave(` is a combination, `in (` a word and a bracket: here a space has a meaning.
        return "" if right.glued and left.kind is TokenKind.RUN else " "
    if left.kind is TokenKind.RUN and right.kind is TokenKind.RUN:
        return "" if right.glued or right.text.startswith(".") or _TIGHT_AFTER.fullmatch(left.text) else " "
    return " "


def spaced(tokens: Sequence[FormatToken], pads: Mapping[int, int]) -> str:
    """The tokens as text; `pads` are spaces more before the tokens of these numbers."""
    parts: list[str] = []
    for i, token in enumerate(tokens):
        if i:
            parts.append(_gap(tokens[i - 1], token) + " " * pads.get(i, 0))
        parts.append(token.text)
    return "".join(parts)


def depths_of(tokens: Sequence[FormatToken], depth: int) -> list[int]:
    """How many brackets each token stands in, a bracket itself outside; `depth` are open before the first."""
    found = []
    for token in tokens:
        if token.kind is TokenKind.CLOSE:
            depth -= 1
        found.append(depth)
        if token.kind is TokenKind.OPEN:
            depth += 1
    return found


def head_end(tokens: Sequence[FormatToken]) -> int:
    """The number of the token after a statement's own `=` or `:`; 0 where it has none."""
    for i, (token, depth) in enumerate(zip(tokens, depths_of(tokens, 0), strict=True)):
        if depth == 0 and token.kind in (TokenKind.EQUAL, TokenKind.COLON):
            return i + 1
    return 0


# ----------------------------------------------------------------

STEP = 4
"""Spaces of one level of indentation."""
WIDEST = 110
"""Columns of code in a line, its comment not counted."""
_WORTH_OPENING = 20
"""Columns: brackets with less in them stay on one line."""


@dataclass
class PageLine:
    """One line of the page: code, a comment, both, or nothing; or a text that is left as it stands."""

    indent: int = 0
    tokens: tuple[FormatToken, ...] = ()
    comment: str = ""
    kept: str | None = None
    pads: dict[int, int] = field(default_factory=dict)

    @property
    def code(self) -> str:
        """The line without its comment."""
        return " " * self.indent + spaced(self.tokens, self.pads)

    @property
    def ends_run(self) -> bool:
        """Whether it ends a run of neighbors: a blank line, or a comment alone."""
        return self.kept is None and not self.tokens


def indented(lines: Sequence[PageLine], indent: int) -> list[int]:
    """Give every line of a statement its indentation; returns how many brackets are open before each."""
    opened: list[int] = []
    depths = []
    for number, line in enumerate(lines):
        depths.append(len(opened))
        line.indent = indent if number == 0 else _continued(line.tokens, opened, indent)
        for token in line.tokens:
            if token.kind is TokenKind.OPEN:
                opened.append(line.indent)
            elif token.kind is TokenKind.CLOSE and opened:
                opened.pop()
    return depths


def _continued(tokens: Sequence[FormatToken], opened: Sequence[int], indent: int) -> int:
    """One level in; in brackets one level from the line that opened them, on which a closing bracket lies again."""
    closing = 0
    while closing < len(tokens) and tokens[closing].kind is TokenKind.CLOSE:
        closing += 1
    if closing:
        return opened[-min(closing, len(opened))] if opened else indent
    if not opened:
        return indent + STEP
    further = bool(tokens) and tokens[0].kind in (TokenKind.ARROW, TokenKind.PLUS)
    return opened[-1] + STEP * (2 if further else 1)


def broken_up(lines: Sequence[PageLine], indent: int) -> list[PageLine]:
    """The statement with its long lines broken; what it gives is not broken again."""
    done = list(lines)
    depths = indented(done, indent)
    number = 0
    while number < len(done):
        line = done[number]
        pieces = None if columns(line.code) <= WIDEST else _pieces(line, depths[number], number == 0)
        if pieces is None:
            number += 1
            continue
        first, *rest = pieces
        fresh = [PageLine(tokens=first, comment=line.comment, pads=line.pads), *(PageLine(tokens=one) for one in rest)]
        done[number : number + 1] = fresh
        depths = indented(done, indent)
    return done


Pieces = list[tuple[FormatToken, ...]]


def _pieces(line: PageLine, depth: int, is_first: bool) -> Pieces | None:
    """The line in two, or a bracket of it opened into three; None where nothing can be broken."""
    tokens = line.tokens
    start = head_end(tokens) if is_first else 0
    depths = depths_of(tokens, depth)
    base = min(depths[start:], default=depth)

    def cuts(kind: TokenKind) -> list[int]:
        return [i for i in range(start + 1, len(tokens)) if tokens[i].kind is kind and depths[i] == base]

    def fits(end: int) -> bool:
        return columns(" " * line.indent + spaced(tokens[:end], line.pads)) <= WIDEST

    for kind in (TokenKind.BAR, TokenKind.COMMA):
        # Outside brackets a line that ends with a comma does not go on; inside, that is how lists are written.
        places = cuts(kind) if base == 0 else [i + 1 for i in cuts(kind) if i + 1 < len(tokens)]
        if places:
            return _cut(tokens, places, fits)
    if places := cuts(TokenKind.PLUS):
        return _cut(tokens, places, fits)
    arrows = cuts(TokenKind.ARROW)
    bracket = _longest_bracket(tokens, depths, base, start)
    if arrows and (bracket is None or _all_fit(line, arrows, fits)):
        return _cut(tokens, arrows, fits)
    if bracket is not None:
        left, right = bracket
        return [tokens[: left + 1], tokens[left + 1 : right], tokens[right:]]
    gaps = [i for i in range(1, len(tokens)) if depths[i] == base > 0 and _may_part(tokens[i - 1], tokens[i])]
    return _cut(tokens, gaps, fits) if gaps else None


def _cut(tokens: tuple[FormatToken, ...], places: Sequence[int], fits: Callable[[int], bool]) -> Pieces:
    """In two at the last place that leaves a line short enough, else at the first place."""
    fitting = [place for place in places if fits(place)]
    place = fitting[-1] if fitting else places[0]
    return [tokens[:place], tokens[place:]]


def _all_fit(line: PageLine, arrows: Sequence[int], fits: Callable[[int], bool]) -> bool:
    """Whether breaking before every arrow would leave no line too long."""
    ends = [*arrows[1:], len(line.tokens)]
    room = WIDEST - line.indent - 2 * STEP
    return fits(arrows[0]) and all(
        columns(spaced(line.tokens[a:b], {})) <= room for a, b in zip(arrows, ends, strict=True)
    )


def _longest_bracket(
    tokens: Sequence[FormatToken], depths: Sequence[int], base: int, start: int
) -> tuple[int, int] | None:
    """The widest pair of brackets of the line that is worth opening."""
    widest, found, left = _WORTH_OPENING - 1, None, None
    for i in range(start, len(tokens)):
        if depths[i] != base:
            continue
        if tokens[i].kind is TokenKind.OPEN:
            left = i
        elif tokens[i].kind is TokenKind.CLOSE and left is not None:
            width = columns(spaced(tokens[left + 1 : i], {}))
            if width > widest:
                widest, found = width, (left, i)
            left = None
    return found


def _may_part(left: FormatToken, right: FormatToken) -> bool:
    """Whether a line in brackets may end between these: not within a rest, nor where no space stands."""
    return (
        left.text != "rest"
        and left.kind in (TokenKind.RUN, TokenKind.CLOSE, TokenKind.STRING)
        and right.kind in (TokenKind.RUN, TokenKind.STRING)
        and not right.glued
        and not right.text.startswith(".")
    )
