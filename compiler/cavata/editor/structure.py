"""How a script is built, for an outline, folds and selections that grow; and the classes of its words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import Enum

from cavata.editor.page import ScriptPage, WordKind
from cavata.editor.tokens import ScriptRow, WordToken
from cavata.names.program import DefinitionSort
from cavata.record import record
from cavata.source import Span


@record
class OutlineEntry:
    """A line of the outline: a declaration, or a section of a movement."""

    name: str
    what: str
    """The word that it begins with."""
    detail: str
    whole: Span
    """With its block."""
    named: Span
    below: tuple[OutlineEntry, ...]


def outline(page: ScriptPage) -> tuple[OutlineEntry, ...]:
    """What a file declares, in order."""
    tops = [row for row in page.rows if row.above is None]
    return tuple(entry for row in tops if (entry := _entry(page, row)) is not None)


def _entry(page: ScriptPage, row: ScriptRow) -> OutlineEntry | None:
    tokens = page.read(row).tokens
    if not tokens or tokens[0].text in ("language", "use"):
        return None
    named = next((each for each in tokens[1:] if each.kind in ("NAME", "CALL", "STRING")), tokens[0])
    below = [
        entry for each in page.rows
        if each.above is row and each.span.text.startswith("section") and (entry := _entry(page, each)) is not None
    ]  # fmt: skip
    title = next((each.text.strip('"') for each in tokens if each.kind == "STRING" and each is not named), "")
    whole = Span(page.source, row.span.start, row.last)
    return OutlineEntry(
        named.name.strip('"'), tokens[0].text, title, whole, Span(page.source, named.start, named.end), tuple(below)
    )


def folds(page: ScriptPage) -> Iterator[tuple[int, int]]:
    """First and last line, counted from 1, of every statement that takes several."""
    for row in page.rows:
        first, last = row.span.line, page.source.line_of(row.last)
        if last > first:
            yield first, last


def selections(page: ScriptPage, offset: int) -> tuple[Span, ...]:
    """What a selection at an offset grows to: its word, its item or step, its statement, what it stands under."""
    row = page.row_at(offset)
    if row is None or offset > row.last:
        return ()
    found: list[Span] = []
    at = page.token_at(offset)
    if at is not None:
        _, read, number = at
        found.append(Span(page.source, read.tokens[number].start, read.tokens[number].end))
        for breaks in (frozenset(["ARROW", "PLUS", "COMMA", "COLON", "EQUAL"]), frozenset(["COMMA", "COLON", "EQUAL"])):
            found.append(_between(page, read.tokens, number, breaks))
    found.append(row.span)
    while row is not None:
        found.append(Span(page.source, row.span.start, row.last))
        row = row.above
    grown: list[Span] = []
    for span in (each for each in found if each.start <= offset <= each.end):
        if not grown or (span.start <= grown[-1].start and grown[-1].end <= span.end and span != grown[-1]):
            grown.append(span)
    return tuple(grown)


def _between(page: ScriptPage, tokens: tuple[WordToken, ...], number: int, breaks: frozenset[str]) -> Span:
    """The tokens around one, as far as none of these kinds stands there outside of brackets."""
    first, depth = number, 0
    while first and not (depth == 0 and tokens[first - 1].kind in breaks):
        depth += (tokens[first - 1].kind == "RPAR") - tokens[first - 1].text.endswith("(")
        if depth < 0:
            break
        first -= 1
    last, depth = number, tokens[number].text.endswith("(")
    while last + 1 < len(tokens) and not (depth == 0 and tokens[last + 1].kind in breaks):
        depth += tokens[last + 1].text.endswith("(") - (tokens[last + 1].kind == "RPAR")
        if depth < 0:
            break
        last += 1
    return Span(page.source, tokens[first].start, tokens[last].end)


# ------------------------------------------------------------------ classes of words


class Class(Enum):
    """The classes of words that an editor colors; their names are those of the open protocol."""

    KEYWORD = "keyword"
    TEXT = "string"
    NUMBER = "number"
    COMMENT = "comment"
    STEP = "function"
    OWN_STEP = "method"
    VALUE = "variable"
    PARAMETER = "parameter"
    CIPHER = "type"
    PART = "property"
    PITCH = "enumMember"
    PLACE = "namespace"
    SIGN = "operator"
    WORD = "macro"


_BY_TERMINAL = {
    "STRING": Class.TEXT, "DURATION": Class.NUMBER, "INT": Class.NUMBER, "RATIO": Class.NUMBER,
    "DECIMAL": Class.NUMBER, "PITCH": Class.PITCH, "PITCH_CLASS": Class.PITCH, "INTERVAL": Class.PITCH,
    "CHORD_SYMBOL": Class.PITCH,
}  # fmt: skip
_BY_MEANING = {
    WordKind.STEP: Class.STEP, WordKind.COMBINATION: Class.STEP, DefinitionSort.TRANSFORM: Class.OWN_STEP,
    DefinitionSort.PASSAGE: Class.OWN_STEP, DefinitionSort.CIPHER: Class.CIPHER, DefinitionSort.MODE: Class.CIPHER,
    WordKind.MODULE: Class.PLACE, WordKind.PARAMETER: Class.PARAMETER,
    WordKind.PART: Class.PART, WordKind.GROUP: Class.PART, WordKind.STAFF: Class.PART, WordKind.MOVEMENT: Class.PLACE,
    WordKind.SECTION: Class.PLACE, WordKind.VERSION: Class.PLACE, WordKind.INSTRUMENT: Class.WORD,
    WordKind.WORD: Class.WORD,
}  # fmt: skip
_COMMENT = re.compile(r'"(?:\\.|[^"\\\n])*"?|(--[^\n]*)')


def classes(page: ScriptPage) -> tuple[tuple[int, int, Class], ...]:
    """From where to where which class of word stands, in order, without overlaps."""
    found = [(match.start(1), match.end(1), Class.COMMENT) for match in _COMMENT.finditer(page.source.text) if match[1]]
    for row in page.rows:
        tokens = page.read(row).tokens
        for number, token in enumerate(tokens):
            end = token.name_end if token.text != "(" else token.end
            found.append((token.start, end, _class(page, row, tokens, number)))
    return tuple(sorted(found, key=lambda each: each[0]))


def _class(page: ScriptPage, row: ScriptRow, tokens: tuple[WordToken, ...], number: int) -> Class:
    token = tokens[number]
    meaning = page.meaning(row, tokens, number)
    if meaning is not None:
        return _BY_MEANING.get(meaning.kind, Class.VALUE)
    known = _BY_TERMINAL.get(token.kind)
    if known is not None:
        return known
    return Class.KEYWORD if token.name.isalpha() else Class.SIGN
