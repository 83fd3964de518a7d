"""Messages as text for a terminal and as JSON for other programs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Any

from cavata.source import Span
from cavata.text import columns, folded, printable

# ----------------------------------------------------------------
# How pure arithmetic says no to what a script asks for.
#
# Nothing in `music`, `ciphers` or `transforms` knows of scripts or messages. What cannot be done is
# a `Refusal`; the evaluator catches it at the step that asked and gives it a place in the text.


class Refusal(Exception):
    """A request that has no answer: a message code, one phrase, a note for the spot, a cure."""

    def __init__(self, code: str, message: str, label: str = "", cure: str = "", at: tuple[int, int] | None = None):
        super().__init__(message)
        self.code = code
        self.message = message
        self.label = label
        self.cure = cure
        self.at = at
        """Which argument of the step is at fault, and which of its words, counted from 0; None for the step."""

    def told(self, subject: str, word: str) -> Refusal:
        """The same of a subject, asked for by a word: its texts leave them open as `{subject}` and `{word}`."""
        message, label, cure = (
            text.replace("{subject}", subject).replace("{word}", word) for text in (self.message, self.label, self.cure)
        )
        return Refusal(self.code, message, label, cure, self.at)


# ----------------------------------------------------------------
# A message to the composer, and the bag in which the passes collect them.


MOST_SHOWN = 100
"""How many messages one run collects; a broken file of ten thousand lines needs no more."""


class Severity(Enum):
    """Whether the script can be compiled all the same."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One message: its code, one phrase, the exact place, a note for it, and the cure."""

    code: str
    severity: Severity
    message: str
    """One lower-case phrase that can be understood alone, the script's own words in backticks."""
    span: Span | None
    """None where the trouble has no place in a script, as a missing program."""
    label: str = ""
    """What there is to see at the span."""
    cure: str = ""
    """How to mend it; the only place for advice."""
    also: tuple[tuple[Span, str], ...] = ()
    """Other places the reader must look at, each with its note."""


@dataclass
class Diagnostics:
    """Collects messages in any order; gives them back by file and place, each once."""

    collected: list[Diagnostic] = field(default_factory=list)
    overflowed: bool = False
    above: Diagnostics | None = None
    """The bag to which this one hands up what it has collected."""
    way_out: str = ""
    """What follows every cure."""

    def report(self, diagnostic: Diagnostic) -> None:
        """Take one in."""
        if self.way_out:
            diagnostic = replace(diagnostic, cure=diagnostic.cure + self.way_out)
        if len(self.collected) >= MOST_SHOWN:
            self.overflowed = True
            # An error must never be lost behind a hundred warnings.
            if diagnostic.severity is Severity.WARNING or self.has_errors:
                return
        self.collected.append(diagnostic)

    def report_all(self, diagnostics: Iterable[Diagnostic]) -> None:
        """Take several in."""
        for diagnostic in diagnostics:
            self.report(diagnostic)

    def error(
        self,
        code: str,
        span: Span | None,
        message: str,
        *,
        label: str = "",
        cure: str = "",
        also: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Report an error."""
        self.report(Diagnostic(code, Severity.ERROR, message, span, label=label, cure=cure, also=also))

    def warning(
        self,
        code: str,
        span: Span | None,
        message: str,
        *,
        label: str = "",
        cure: str = "",
        also: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Report a warning."""
        self.report(Diagnostic(code, Severity.WARNING, message, span, label=label, cure=cure, also=also))

    def refused(self, span: Span, why: Refusal, also: tuple[tuple[Span, str], ...] = ()) -> None:
        """Report what has no answer at the place that asked."""
        self.error(why.code, span, why.message, label=why.label, cure=why.cure, also=also)

    def within(self, way_out: str = "") -> Diagnostics:
        """A bag of its own for one piece of work, to be used by `with`: it can be asked what that piece reported, and
        hands its messages up at the end. `way_out` is added to each cure."""
        return Diagnostics(above=self, way_out=way_out)

    def __enter__(self) -> Diagnostics:
        return self

    def __exit__(self, *_: object) -> None:
        if self.above is not None and self.collected:
            self.above.report_all(self.collected)
            self.above.overflowed = self.above.overflowed or self.overflowed

    @property
    def is_empty(self) -> bool:
        """Whether nothing was reported."""
        return not self.collected

    @property
    def has_errors(self) -> bool:
        """Whether anything collected is an error."""
        return any(d.severity is Severity.ERROR for d in self.collected)

    def ordered(self) -> tuple[Diagnostic, ...]:
        """All of them by file, place and code, duplicates removed."""

        def key(d: Diagnostic) -> tuple[str, int, int, str, str]:
            if d.span is None:
                return ("", -1, -1, d.code, d.message)
            return (d.span.source.name, d.span.start, d.span.end, d.code, d.message)

        seen: dict[tuple[str, int, int, str, str], Diagnostic] = {}
        for diagnostic in self.collected:
            seen.setdefault(key(diagnostic), diagnostic)
        return tuple(seen[k] for k in sorted(seen))


# ----------------------------------------------------------------
# The words a mistyped word may have been meant for.
#
# In: one word and the known ones. Out: the nearest, best first, the same for the same words
# whatever order they came in.


def closest(word: str, known: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The known words within a third of the word's length, nearest first; of equals first
    those from which letters were left out, then in the alphabet's order.

    Capitals do not count; a letter left out, put in or exchanged counts one, and so do two
    neighbors that changed places (Damerau's four kinds of slip, Communications of the ACM 7/3, 1964).
    """
    folded = word.casefold()
    allowed = len(word) // 3
    near = []
    for candidate in set(known):
        distance = edit_distance(folded, candidate.casefold(), allowed)
        if distance <= allowed and candidate != word:
            near.append((distance, len(candidate) - len(word) != distance, candidate))
    return tuple(candidate for *_, candidate in sorted(near)[:limit])


def did_you_mean(word: str, known: Iterable[str], most: int = 1) -> str:
    """The cure for a mistyped word: a question after the known ones that are nearest; empty where none is near."""
    near = " or ".join(f"`{each}`" for each in closest(word, known, most))
    return near and f"did you mean {near}?"


def edit_distance(one: str, other: str, allowed: int) -> int:
    """How many slips lead from one word to the other; any number above `allowed` means too many."""
    if abs(len(one) - len(other)) > allowed:
        return allowed + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one):
        following = [i + 1]
        for j, target in enumerate(other):
            cost = min(row[j + 1] + 1, following[j] + 1, row[j] + (letter != target))
            if i and j and letter == other[j - 1] and one[i - 1] == target:
                cost = min(cost, before[j - 1] + 1)
            following.append(cost)
        if min(following) > allowed and min(row) > allowed:
            return allowed + 1
        before, row = row, following
    return row[-1]


# ----------------------------------------------------------------

WIDEST = 160
"""A longer source line is shown only around the place in question."""

_AS_WIDE_AS_IT_IS = 1_000_000_000
_NARROWEST = 40
"""Columns below which nothing is folded any farther."""
_CURE = "    to mend: "
_LONG_QUOTED = re.compile(r"`([^`]{80})[^`]{120,}`")

_BOLD, _RED, _YELLOW, _DIM, _OFF = "\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[2m", "\x1b[0m"


def as_text(diagnostics: Iterable[Diagnostic], color: bool = False, width: int | None = None) -> str:
    """Every message with its line and a mark under the place, one blank line between two; no line is wider than
    `width`, as far as its words allow."""
    return "\n".join(_one(d, color, max(width or _AS_WIDE_AS_IT_IS, _NARROWEST)) for d in diagnostics)


def _one(diagnostic: Diagnostic, color: bool, room: int) -> str:
    tint = (_RED if diagnostic.severity is Severity.ERROR else _YELLOW) if color else ""
    bold, dim, off = (_BOLD, _DIM, _OFF) if color else ("", "", "")
    place = "cavata" if diagnostic.span is None else _address(diagnostic.span)
    kind = "" if diagnostic.severity is Severity.ERROR else "warning: "
    taken = columns(f"{place}  {diagnostic.code}  ")
    first, *rest = folded(f"{kind}{said(diagnostic.message)}", room - 4, taken - 4)
    lines = [f"{bold}{place}{off}  {tint}{diagnostic.code}{off}  {first}".rstrip(), *(f"    {line}" for line in rest)]
    if diagnostic.span is not None:
        lines += _snippet(diagnostic.span, diagnostic.label, tint, off, room)
    elif diagnostic.label:
        lines += (f"    {line}" for line in folded(said(diagnostic.label), room - 4))
    for span, note in diagnostic.also:
        lines.append(f"    {dim}see {_address(span)}{off}")
        lines += _snippet(span, note, dim, off, room)
    if diagnostic.cure:
        first, *rest = folded(said(diagnostic.cure), room - 6, columns(_CURE) - 6)
        lines += [(_CURE + first).rstrip(), *(f"      {line}" for line in rest)]
    return "\n".join(lines) + "\n"


def _address(span: Span) -> str:
    return f"{printable(span.source.name)}:{span.line}:{span.column}"


def _snippet(span: Span, label: str, tint: str, off: str, room: int) -> list[str]:
    text = span.source.line_text(span.line)
    begin = span.column - 1
    width = max(1, min(span.end - span.start, len(text) - begin))
    widest = min(WIDEST, room - 4)
    if len(text) > widest:
        cut = max(0, begin - widest // 4)
        text, begin = text[cut : cut + widest], begin - cut
        width = max(1, min(width, len(text) - begin))
    marked = max(1, columns(printable(text[begin : begin + width])))
    before = columns(printable(text[:begin]))
    shown, under = f"    {printable(text)}".rstrip(), f"    {' ' * before}{tint}{'~' * marked}{off}"
    if not label or 4 + before + marked + 1 + columns(said(label)) <= room:
        return [shown, f"{under} {said(label)}" if label else under]
    margin = max(4, min(4 + before, room - columns(said(label))))
    return [shown, under, *(" " * margin + line for line in folded(said(label), room - margin))]


def said(text: str) -> str:
    """Words of a message: printable, and a very long quoted word by its beginning only."""
    return printable(_LONG_QUOTED.sub(lambda m: f"`{m[1]} ...`", text))


def messages_json(diagnostics: Iterable[Diagnostic]) -> list[dict[str, Any]]:
    """Every message as a plain dictionary; lines and columns count from 1, ends are exclusive."""
    return [
        {
            "code": d.code,
            "severity": d.severity.value,
            "message": said(d.message),
            "label": said(d.label),
            "cure": said(d.cure),
            "place": None if d.span is None else _place(d.span),
            "also": [{"note": said(note), "place": _place(span)} for span, note in d.also],
        }
        for d in diagnostics
    ]


def _place(span: Span) -> dict[str, Any]:
    source = span.source
    return {
        "file": printable(source.name),
        "line": span.line,
        "column": span.column,
        "end_line": source.line_of(span.end),
        "end_column": source.column_of(span.end),
        "text": printable(span.text),
    }
