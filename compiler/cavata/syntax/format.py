"""The one layout of a script.

In: the text of a script. Out: the same script laid out: four spaces a level, one space between
words, neighbors aligned, long lines broken. Holds after: the syntax tree is the same but for
places; every comment and every string stands as it was, in its order; laid out once more nothing
changes; a statement that cannot be read is left as it stands, with the block under it. Statements
are laid out by their signs alone, so a new statement of the language needs nothing new here. Words
of the language in British spelling become American.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import groupby

from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.record import record, replace
from cavata.source import Source
from cavata.syntax import tree as t
from cavata.syntax.format_lines import (
    STEP,
    FormatToken,
    PageLine,
    TokenKind,
    broken_up,
    depths_of,
    head_end,
    spaced,
    tokens_of,
)
from cavata.syntax.layout import Statement, lay_out, walk
from cavata.syntax.parse import parse
from cavata.syntax.words import BRITISH
from cavata.text import columns

# ----------------------------------------------------------------
# Columns: what stands under what.
#
# In: the lines of a page. Out: the same lines with spaces where neighbors are aligned. Only
# statements of one block with no blank line and no line of comment between them are neighbors, so
# that an edit moves few lines; a long beginning stays out and pushes nobody.


WIDEST_HEAD = 32
"""Columns before `=` or after `:` beyond which a statement is not aligned with its neighbors."""
COMMENTS_AT = 48
"""The column, counted from 0, where comments beside code begin if the code leaves room."""
FARTHEST_COMMENT = 72
"""Neighbors make room for a longer line as far as this; beyond it a comment follows its own line."""
SETTINGS = frozenset(["meter", "key", "tempo", "pickup"])


@record
class Heading:
    """The first line of a statement, and the block it stands in."""

    line: PageLine
    block: int
    """One number for the rows of one block; 0 at the left margin."""
    above: str
    """The first word of the statement whose block it is; empty at the left margin."""


Column = tuple[object, ...]


def runs(lines: Iterable[PageLine]) -> Iterator[list[PageLine]]:
    """Lines without a blank line or a comment alone between them."""
    yield from (list(run) for ends, run in groupby(lines, key=lambda line: line.ends_run) if not ends)


def align(headings: Iterable[Heading]) -> None:
    """Align the first lines of the statements of one run."""
    columns_of: dict[Column, list[tuple[PageLine, int, int]]] = {}
    for heading in headings:
        for column, before, width in _places(heading):
            columns_of.setdefault(column, []).append((heading.line, before, width))
    for places in columns_of.values():
        widest = max(width for _, _, width in places)
        for line, before, width in places:
            if width < widest:
                line.pads[before] = widest - width


def _places(heading: Heading) -> Iterator[tuple[Column, int, int]]:
    """The columns that a line takes part in: which, the token that is moved, the width before it."""
    tokens = heading.line.tokens
    end = head_end(tokens)
    if end:
        sign = tokens[end - 1].kind
        aligned = end if sign is TokenKind.COLON else end - 1
        width = columns(spaced(tokens[:aligned], {}))
        if width > WIDEST_HEAD or end == len(tokens) or (sign is TokenKind.COLON and _is_marking(tokens[:end])):
            return
        kind = "" if heading.above else tokens[0].text
        yield (heading.block, sign, kind), aligned, width
        if tokens[end].kind is TokenKind.STRING and end + 1 < len(tokens) and tokens[end + 1].kind is TokenKind.RUN:
            yield (heading.block, sign, kind, tokens[end + 1].text), end + 1, columns(tokens[end].text)
    elif len(tokens) > 1 and (
        tokens[0].text in SETTINGS if heading.above != "piece" else _is_plain(tokens[1])
    ):
        yield (heading.block, "row"), 1, columns(tokens[0].text)


def _is_marking(head: tuple[FormatToken, ...]) -> bool:
    """`strings bars 13 to 16:` says where, at length; its items are not one voice's beginning."""
    return any(t.text == "bars" and d == 0 for t, d in zip(head, depths_of(head, 0), strict=True))


def _is_plain(token: FormatToken) -> bool:
    return token.kind is TokenKind.STRING or token.text[:1].isdigit()


def comment_columns(run: Iterable[PageLine]) -> Iterator[tuple[PageLine, int]]:
    """For each line of a run with a comment beside its code, the column where the comment begins.

    Only lines that follow one another with a comment each make room for one another.
    """
    for has_comment, group in groupby(run, key=lambda line: bool(line.comment)):
        if has_comment:
            ends = [(line, columns(line.code) + 2) for line in group]
            shared = max([COMMENTS_AT, *(end for _, end in ends if end <= FARTHEST_COMMENT)])
            yield from ((line, max(shared, end)) for line, end in ends)


# ----------------------------------------------------------------
# Where every statement of a page is to stand, and every comment between statements.
#
# In: the statements that the layout pass found, and the messages about them. Out: for each line on
# which a statement begins, how far it goes, its indentation, and whether it is left as it stands.


_UNPLACED = frozenset(["S103", "S108"])
"""Messages about an indentation: mending it would be guessing which block is meant."""


@record
class StatementPlace:
    """A statement's place. Lines are counted from 0."""

    was: int
    """The indentation that it has in the text."""
    indent: int
    """The indentation that it gets."""
    last: int
    """Its last line; that of its block if it is left alone."""
    is_kept: bool
    block: int
    """The number of the block that it stands in; 0 at the left margin."""
    above: str
    """The first word of the statement whose block it is."""
    up: StatementPlace | None

    @property
    def shift(self) -> int:
        """How far its lines move if it is left alone."""
        return self.indent - self.was


class Blocks:
    """The statements of one source by their first lines."""

    def __init__(
        self, source: Source, roots: Sequence[Statement], messages: Iterable[Diagnostic], left_alone: frozenset[int]
    ) -> None:
        self.source = source
        self.at: dict[int, StatementPlace] = {}
        self._every: dict[int, StatementPlace] = {}
        self._codes: dict[int, set[str]] = {}
        first_lines = sorted(self._line(s.span.start) for s in walk(list(roots)))
        for message in messages if first_lines else ():  # else there are comments alone
            assert message.span is not None, "whatever a script's syntax is told has a place"
            owner = bisect_right(first_lines, message.span.line - 1) - 1
            self._codes.setdefault(first_lines[max(0, owner)], set()).add(message.code)
        # Declarations are counted as the tree counts them: an indented statement is none.
        margin = [root for root in roots if not root.indent]
        alone = {id(margin[number]) for number in left_alone}
        for root in roots:
            self._place(root, id(root) in alone)
        self._first_lines = sorted(self._every)

    def _line(self, offset: int) -> int:
        return self.source.line_of(offset) - 1

    def _place(self, root: Statement, is_alone: bool) -> None:
        waiting: list[tuple[Statement, StatementPlace | None, str, bool]] = [(root, None, "", is_alone)]
        while waiting:
            statement, up, above, within_kept = waiting.pop()
            first = self._line(statement.span.start)
            codes = self._codes.get(first, set())
            is_kept = within_kept or bool(codes)
            if within_kept and up is not None:
                indent = max(0, statement.indent + up.shift)
            elif is_alone or codes & _UNPLACED:
                indent = statement.indent
            else:
                indent = 0 if up is None else up.indent + STEP
            last = self._last(statement) if is_kept else self._line(statement.span.end)
            block = 0 if up is None else id(up)
            placed = StatementPlace(statement.indent, indent, last, is_kept, block, above, up)
            self._every[first] = placed
            if not within_kept or up is None:
                self.at[first] = placed
            if statement.block:
                tokens, _ = tokens_of(self.source.line_text(first + 1))
                word = tokens[0].text if tokens else ""
                waiting += [(row, placed, word, is_kept) for row in statement.block]

    def _last(self, statement: Statement) -> int:
        return max(self._line(s.span.end) for s in walk([statement]))

    def comment_indent(self, line: int, was: int) -> int:
        """The indentation of a comment alone on its line: that of the block it stands in, as its own shows.

        It stands at least as deep as the statement after it; further in if it was, for it may end a block.
        """
        number = bisect_right(self._first_lines, line)
        after = self._every[self._first_lines[number]] if number < len(self._first_lines) else None
        before = self._every[self._first_lines[number - 1]] if number else None
        floor_was, floor = (after.was, after.indent) if after is not None else (0, 0)
        if was <= floor_was or before is None:
            return floor
        found = max(floor, before.indent + STEP) if was > before.was else floor
        while before is not None and before.was > floor_was:
            if was <= before.was:
                found = before.indent
            before = before.up
        return max(found, floor)


# ----------------------------------------------------------------

BLANK_LINES = 2
"""Blank lines that may follow one another."""

_TAB = re.compile(r'"(?:\\.|[^"\\])*"?|--.*|\t')


class _All(Diagnostics):
    """Keeps every message, however many: each says which statement is left alone."""

    def report(self, diagnostic: Diagnostic) -> None:
        """Keep a message, however many there are."""
        self.collected.append(diagnostic)


@record
class Formatted:
    """A script laid out, and the messages about what in it could not be read."""

    text: str
    messages: tuple[Diagnostic, ...]


def format_script(text: str, name: str = "script") -> Formatted:
    """Lay a script out. Never fails: what cannot be read, or would be read otherwise after, is left as it stands."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    original = _Reading(name, text)
    left_alone: frozenset[int] = frozenset()
    while True:
        result = _written(original, left_alone)
        differing = original.differing(_Reading(name, result))
        if differing is None:
            return Formatted(text, original.messages)
        if not differing:
            return Formatted(result, original.messages)
        if differing <= left_alone:
            return Formatted(text, original.messages)
        left_alone |= differing


class _Reading:
    """A text as the compiler reads it, tabs between words taken for spaces."""

    def __init__(self, name: str, text: str) -> None:
        self.lines = text.split("\n")
        self.plain = [_TAB.sub(_spaced_tab, line) for line in self.lines]
        self.source = Source(name, "\n".join(self.plain))
        bag = _All()
        self.module = parse(self.source, bag)
        self.roots = lay_out(self.source, _All())
        self.messages = bag.ordered()

    @cached_property
    def british(self) -> frozenset[str]:
        """The words in British spelling that mean words of the language here, and nothing that the script has so."""
        own: set[str] = set()
        for declaration in self.module.declarations:
            match declaration:
                case t.OwnTransform(name):
                    own.add(name.text)
                case t.Use(names, _, _, alias):
                    own.update(word.text for word in (*names, *([alias] if alias else [])))
                    if not names:
                        return frozenset()
                case _:
                    pass
        return frozenset(BRITISH) - own

    def differing(self, other: _Reading) -> frozenset[int] | None:
        """The numbers of the declarations that the other text has otherwise; None where nothing corresponds."""
        mine, others = self.module.declarations, other.module.declarations
        if len(mine) != len(others):
            return None
        found = frozenset(i for i, (a, b) in enumerate(zip(mine, others, strict=True)) if t.bare(a) != t.bare(b))
        if not found and [(m.code, m.message) for m in self.messages] != [(m.code, m.message) for m in other.messages]:
            return None
        return found


def _spaced_tab(match: re.Match[str]) -> str:
    return " " if match[0] == "\t" else match[0]


def _written(reading: _Reading, left_alone: frozenset[int]) -> str:
    """The page of a reading; the declarations of these numbers keep their lines."""
    blocks = Blocks(reading.source, reading.roots, reading.messages, left_alone)
    page: list[PageLine] = []
    headings: dict[int, Heading] = {}
    statements: dict[int, tuple[int, int]] = {}
    number = 0
    while number < len(reading.lines):
        placed = blocks.at.get(number)
        if placed is None:
            page.append(_between(reading.plain[number], number, blocks))
            number += 1
        elif placed.is_kept:
            page += [PageLine(kept=_moved(line, placed.shift)) for line in reading.lines[number : placed.last + 1]]
            number = placed.last + 1
        else:
            lines = _american([_read(line) for line in reading.plain[number : placed.last + 1]], reading.british)
            headings[id(lines[0])] = Heading(lines[0], placed.block, placed.above)
            statements[len(page)] = (len(lines), placed.indent)
            page += lines
            number = placed.last + 1
    for run in runs(page):
        align(headings[id(line)] for line in run if id(line) in headings)
    return _printed(_few_blanks(_all_broken_up(page, statements)))


def _read(line: str) -> PageLine:
    tokens, comment = tokens_of(line.strip(" ").rstrip())
    return PageLine(tokens=tokens, comment=comment)


def _american(lines: list[PageLine], british: frozenset[str]) -> list[PageLine]:
    """The lines of a statement with the words of the language in American spelling."""
    before, is_marking = "", bool(lines) and _is_marking(lines[0].tokens)
    for line in lines:
        changed = []
        for token in line.tokens:
            is_word = before in ("", "->", "show") or (before == ":" and is_marking)
            is_british = is_word and token.text in british
            changed.append(replace(token, text=BRITISH[token.text]) if is_british else token)
            before = token.text
        line.tokens = tuple(changed)
    return lines


def _between(line: str, number: int, blocks: Blocks) -> PageLine:
    """A blank line, or a comment alone, between statements."""
    comment = line.strip(" ").rstrip()
    indent = blocks.comment_indent(number, len(line) - len(line.lstrip(" "))) if comment else 0
    return PageLine(indent=indent, comment=comment)


def _moved(line: str, shift: int) -> str:
    """A line that is left alone, its block moved."""
    content = line.lstrip(" \t")
    if not shift or not content:
        return line
    return " " * max(0, len(line) - len(content) + shift) + content


def _all_broken_up(page: list[PageLine], statements: dict[int, tuple[int, int]]) -> list[PageLine]:
    out: list[PageLine] = []
    number = 0
    while number < len(page):
        if number in statements:
            count, indent = statements[number]
            out += broken_up(page[number : number + count], indent)
            number += count
        else:
            out.append(page[number])
            number += 1
    return out


def _few_blanks(page: list[PageLine]) -> list[PageLine]:
    """No blank line at either end, and never more than two together."""
    out: list[PageLine] = []
    blanks = 0
    for line in page:
        if line.kept is None and not line.tokens and not line.comment:
            blanks += 1
            continue
        if out:
            out += [PageLine()] * min(blanks, BLANK_LINES)
        out.append(line)
        blanks = 0
    return out


def _printed(page: list[PageLine]) -> str:
    comments = {id(line): column for run in runs(page) for line, column in comment_columns(run)}
    out = []
    for line in page:
        if line.kept is not None:
            out.append(line.kept)
        elif not line.tokens:
            out.append(" " * line.indent + line.comment if line.comment else "")
        elif line.comment:
            code = line.code
            out.append(code + " " * (comments[id(line)] - columns(code)) + line.comment)
        else:
            out.append(line.code)
    return "".join(line + "\n" for line in out)
