"""The one layout of a script.

In: the text of a script. Out: the same script laid out: four spaces a level, one space between
words, neighbours aligned, long lines broken. Holds after: the syntax tree is the same but for
places; every comment and every string stands as it was, in its order; laid out once more nothing
changes; a statement that cannot be read is left as it stands, with the block under it. Statements
are laid out by their signs alone, so a new statement of the language needs nothing new here.
"""

from __future__ import annotations

import dataclasses
import re

from cavata.diagnostics.record import Diagnostic, Diagnostics
from cavata.diagnostics.width import columns
from cavata.record import dataclass
from cavata.source import Source, Span
from cavata.syntax.format_align import Heading, align, comment_columns, runs
from cavata.syntax.format_blocks import Blocks
from cavata.syntax.format_lines import Line, broken_up
from cavata.syntax.format_tokens import tokens_of
from cavata.syntax.layout import lay_out
from cavata.syntax.parse import parse

BLANK_LINES = 2
"""Blank lines that may follow one another."""

_TAB = re.compile(r'"(?:\\.|[^"\\])*"?|--.*|\t')


class _All(Diagnostics):
    """Keeps every message, however many: each says which statement is left alone."""

    def report(self, diagnostic: Diagnostic) -> None:
        self.collected.append(diagnostic)


@dataclass(frozen=True, slots=True)
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

    def differing(self, other: _Reading) -> frozenset[int] | None:
        """The numbers of the declarations that the other text has otherwise; None where nothing corresponds."""
        mine, others = self.module.declarations, other.module.declarations
        if len(mine) != len(others):
            return None
        found = frozenset(i for i, (a, b) in enumerate(zip(mine, others, strict=True)) if bare(a) != bare(b))
        if not found and [(m.code, m.message) for m in self.messages] != [(m.code, m.message) for m in other.messages]:
            return None
        return found


def _spaced_tab(match: re.Match[str]) -> str:
    return " " if match[0] == "\t" else match[0]


def bare(node: object) -> object:
    """A tree without its places, for comparing."""
    if isinstance(node, tuple):
        return tuple(bare(item) for item in node)
    if dataclasses.is_dataclass(node) and not isinstance(node, type):
        fields = (getattr(node, f.name) for f in dataclasses.fields(node))
        return (type(node).__name__, *(bare(value) for value in fields if not isinstance(value, Span)))
    return node


def _written(reading: _Reading, left_alone: frozenset[int]) -> str:
    """The page of a reading; the declarations of these numbers keep their lines."""
    blocks = Blocks(reading.source, reading.roots, reading.messages, left_alone)
    page: list[Line] = []
    headings: dict[int, Heading] = {}
    statements: dict[int, tuple[int, int]] = {}
    number = 0
    while number < len(reading.lines):
        placed = blocks.at.get(number)
        if placed is None:
            page.append(_between(reading.plain[number], number, blocks))
            number += 1
        elif placed.is_kept:
            page += [Line(kept=_moved(line, placed.shift)) for line in reading.lines[number : placed.last + 1]]
            number = placed.last + 1
        else:
            lines = [_read(line) for line in reading.plain[number : placed.last + 1]]
            headings[id(lines[0])] = Heading(lines[0], placed.block, placed.above)
            statements[len(page)] = (len(lines), placed.indent)
            page += lines
            number = placed.last + 1
    for run in runs(page):
        align(headings[id(line)] for line in run if id(line) in headings)
    return _printed(_few_blanks(_all_broken_up(page, statements)))


def _read(line: str) -> Line:
    tokens, comment = tokens_of(line.strip(" ").rstrip())
    return Line(tokens=tokens, comment=comment)


def _between(line: str, number: int, blocks: Blocks) -> Line:
    """A blank line, or a comment alone, between statements."""
    comment = line.strip(" ").rstrip()
    indent = blocks.comment_indent(number, len(line) - len(line.lstrip(" "))) if comment else 0
    return Line(indent=indent, comment=comment)


def _moved(line: str, shift: int) -> str:
    """A line that is left alone, its block moved."""
    content = line.lstrip(" \t")
    if not shift or not content:
        return line
    return " " * max(0, len(line) - len(content) + shift) + content


def _all_broken_up(page: list[Line], statements: dict[int, tuple[int, int]]) -> list[Line]:
    out: list[Line] = []
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


def _few_blanks(page: list[Line]) -> list[Line]:
    """No blank line at either end, and never more than two together."""
    out: list[Line] = []
    blanks = 0
    for line in page:
        if line.kept is None and not line.tokens and not line.comment:
            blanks += 1
            continue
        if out:
            out += [Line()] * min(blanks, BLANK_LINES)
        out.append(line)
        blanks = 0
    return out


def _printed(page: list[Line]) -> str:
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
