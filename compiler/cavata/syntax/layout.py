"""Cutting the text into statements before any of them is parsed.

In: a source. Out: statements nested by indentation, each the span of one or more lines. A line
goes on inside brackets, and when the next line begins with `->`, `+`, `,` or a length. A declaration word
at column 1 closes an open bracket, so that one slip spoils one statement only.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from cavata import EDITION
from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.source import Source, Span
from cavata.syntax.words import BEHIND_A_NAME
from cavata.text import UNSAFE

DECLARATIONS = (
    "language", "piece", "use", "name", "cipher", "rhythm", "motif", "figure", "transform", "mode",
    "forces", "group", "staff", "staves", "movement", "cadenza", "passage", "require", "version",
    "profile",
)  # fmt: skip

DEEPEST_BRACKETS = 40
"""Brackets inside brackets; no piece needs a tenth of it, and it keeps recursion bounded."""
LONGEST_STATEMENT = 100_000
"""Characters in one statement."""

# Strings and comments hide brackets; an unclosed string runs to the end of its line.
_TOKEN = re.compile(r'"(?:\\.|[^"\\])*("?)|--.*|[()\t]')
_GOES_ON = re.compile(rf"->|[+,]|(?:x|for|held|until)\b(?!\s*(?:{BEHIND_A_NAME}))")
"""What begins a line that is not a statement of its own; a length is none by which something would be called."""
_UNSEEN = re.compile("[\u00ad\u200b\u2060\ufeff]")
"""What nobody sees and pasted text often has: soft hyphen, zero-width space, word joiner, byte order mark."""
_LANGUAGE = re.compile(r"^language +(\d{1,3})(?!\d)", re.MULTILINE)
_DECLARATION = re.compile(rf"(?:{'|'.join(DECLARATIONS)})\b")


def earlier_edition(text: str) -> bool:
    """Whether a script says that it is written in an edition of the language before this one."""
    said = _LANGUAGE.search(text)
    return said is not None and 0 < int(said[1]) < EDITION


Reads = dict[str, tuple[Any, tuple[Diagnostic, ...]]]
"""By what a statement was read as: its node, and the messages."""


@dataclass
class Statement:
    """One statement and the block indented under it."""

    span: Span
    """From its first character to its last, comments between its lines included."""
    indent: int
    block: list[Statement] = field(default_factory=list)
    broken: bool = False
    """Something in it was reported; it is not parsed."""
    read: Reads | None = None
    """What was read of the same text before, where that is kept."""


@dataclass
class _Reader:
    source: Source
    bag: Diagnostics
    roots: list[Statement] = field(default_factory=list)
    stack: list[Statement] = field(default_factory=list)
    brackets: list[int] = field(default_factory=list)
    current: Statement | None = None

    def line(self, start: int, text: str) -> None:
        """Take a line up: it begins a statement, or goes on with the one before."""
        content = text.lstrip(" ")
        indent = len(text) - len(content)
        if not content or content.startswith("--"):
            return
        goes_on = self.current is not None and (bool(self.brackets) or _GOES_ON.match(content) is not None)
        if goes_on and self.brackets and indent == 0 and _DECLARATION.match(content):
            self.unclosed()
            goes_on = False
        if not goes_on:
            self.begin(start + indent, indent)
        self.scan(start + indent, content)

    def begin(self, start: int, indent: int) -> None:
        """Open a statement in the block that its indentation says."""
        self.current = statement = Statement(Span(self.source, start, start), indent)
        while self.stack and self.stack[-1].indent >= indent:
            closed = self.stack.pop()
            if closed.indent > indent and (not self.stack or self.stack[-1].indent < indent):
                self.bag.error(
                    "S103",
                    Span(self.source, start - indent, start) if indent else Span(self.source, start, start + 1),
                    "this line is indented like no line above it",
                    label=f"{indent} spaces, but the block above has {closed.indent}",
                    cure="give the lines of one block the same indentation",
                )
                statement.broken = True
        (self.stack[-1].block if self.stack else self.roots).append(statement)
        self.stack.append(statement)

    def scan(self, start: int, content: str) -> None:
        """Find the statement's end on this line; count brackets outside strings and comments."""
        assert self.current is not None
        end = len(content)
        for match in _TOKEN.finditer(content):
            text = match[0]
            if text.startswith("--"):
                end = match.start()
            elif text == "(":
                self.opened(start + match.start())
            elif text == ")" and self.brackets:
                self.brackets.pop()
            elif text == "\t":
                self.complain(
                    "S102",
                    start + match.start(),
                    start + match.end(),
                    "a tab stands outside a string",
                    "",
                    "use spaces; a tab has no fixed width",
                )
            elif text.startswith('"') and not match[1]:
                self.complain(
                    "S104",
                    start + match.start(),
                    start + len(content),
                    "a string is not closed on its line",
                    "opened here",
                    'close it with `"`; inside a string a quote is written `\\"`',
                )
        stop = start + len(content[:end].rstrip())
        self.current.span = Span(self.source, self.current.span.start, max(stop, self.current.span.start + 1))

    def opened(self, at: int) -> None:
        """A bracket opens."""
        self.brackets.append(at)
        if len(self.brackets) == DEEPEST_BRACKETS + 1:
            self.complain(
                "S106",
                at,
                at + 1,
                f"brackets are nested more than {DEEPEST_BRACKETS} deep",
                "",
                "give the inner parts names of their own",
            )

    def complain(self, code: str, start: int, end: int, message: str, label: str, cure: str) -> None:
        """Report a mistake and mark the statement as broken."""
        assert self.current is not None
        self.current.broken = True
        self.bag.error(code, Span(self.source, start, end), message, label=label, cure=cure)

    def unclosed(self) -> None:
        """Report the outermost bracket that is still open, unless its statement was broken before."""
        at = self.brackets[0]
        if self.current is not None and not self.current.broken:
            self.complain("S105", at, at + 1, "a bracket is not closed", "opened here", "close it with `)`")
        self.brackets.clear()


def lay_out(source: Source, bag: Diagnostics) -> tuple[Statement, ...]:
    """Cut a source into statements; what cannot be cut is reported and marked broken."""
    reader = _Reader(source, bag)
    unsafe = list(_unsafe(source, bag))
    for index, start in enumerate(source.line_starts):
        text = source.line_text(index + 1)
        tab = len(text) - len(text.lstrip(" \t"))
        if "\t" in text[:tab]:
            at = start + text.index("\t")
            bag.error(
                "S102", Span(source, at, at + 1), "a tab stands in the indentation", cure="indent with spaces only"
            )
            text = text.replace("\t", " ")
        reader.line(start, text.rstrip("\r"))
    reader.unclosed() if reader.brackets else None
    for statement in walk(reader.roots):
        if any(statement.span.start <= at < statement.span.end for at in unsafe):
            statement.broken = True
        if statement.span.end - statement.span.start > LONGEST_STATEMENT:
            statement.broken = True
            head = Span(source, statement.span.start, statement.span.start + 20)
            bag.error(
                "S107",
                head,
                f"one statement is longer than {LONGEST_STATEMENT} characters",
                label="begins here",
                cure="divide it into several named motifs",
            )
    return tuple(reader.roots)


def _unsafe(source: Source, bag: Diagnostics) -> Iterator[int]:
    """Where a sign stands that would steer a terminal or show the text in another order than it is read; reported.

    A sign that only cannot be seen is a warning. Source: Unicode Technical Report 36, and the way of compilers since
    CVE-2021-42574.
    """
    for found in UNSAFE.finditer(source.text.replace("\r\n", " \n")):
        yield found.start()
        place = Span(source, found.start(), found.end())
        bag.error(
            "S112", place, f"the sign {_named(found[0])} may not stand in a script",
            label="it cannot be seen here, and could make the line read as something else", cure="take it out",
        )  # fmt: skip
    for found in _UNSEEN.finditer(source.text):
        bag.warning(
            "S113", Span(source, found.start(), found.end()), f"the sign {_named(found[0])} cannot be seen",
            label="it stands here", cure="take it out, unless you put it there on purpose",
        )  # fmt: skip


def _named(sign: str) -> str:
    name = unicodedata.name(sign, "").lower() or "control character"
    return f"U+{ord(sign):04X} ({name})"


def walk(statements: Iterable[Statement]) -> list[Statement]:
    """All statements of a forest, parents first, without recursion (blocks may nest absurdly deep)."""
    found, waiting = [], [*statements][::-1]
    while waiting:
        statement = waiting.pop()
        found.append(statement)
        waiting.extend(reversed(statement.block))
    return found
