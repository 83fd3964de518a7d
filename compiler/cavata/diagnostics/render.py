"""Messages as text for a terminal and as JSON for other programs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from cavata.diagnostics.record import Diagnostic, Severity
from cavata.diagnostics.width import columns
from cavata.source import Span

WIDEST = 160
"""A longer source line is shown only around the place in question."""

_LONG_QUOTED = re.compile(r"`([^`]{80})[^`]{120,}`")

_BOLD, _RED, _YELLOW, _DIM, _OFF = "\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[2m", "\x1b[0m"


def as_text(diagnostics: Iterable[Diagnostic], colour: bool = False) -> str:
    """Every message with its line and a mark under the place, one blank line between two."""
    return "\n".join(_one(d, colour) for d in diagnostics)


def _one(diagnostic: Diagnostic, colour: bool) -> str:
    tint = (_RED if diagnostic.severity is Severity.ERROR else _YELLOW) if colour else ""
    bold, dim, off = (_BOLD, _DIM, _OFF) if colour else ("", "", "")
    lines = []
    place = "cavata" if diagnostic.span is None else _address(diagnostic.span)
    kind = "" if diagnostic.severity is Severity.ERROR else "warning: "
    lines.append(f"{bold}{place}{off}  {tint}{diagnostic.code}{off}  {kind}{said(diagnostic.message)}")
    if diagnostic.span is not None:
        lines += _snippet(diagnostic.span, diagnostic.label, tint, off)
    elif diagnostic.label:
        lines.append(f"    {said(diagnostic.label)}")
    for span, note in diagnostic.also:
        lines.append(f"    {dim}see {_address(span)}{off}")
        lines += _snippet(span, note, dim, off)
    if diagnostic.cure:
        lines.append(f"    to mend: {said(diagnostic.cure)}")
    return "\n".join(lines) + "\n"


def _address(span: Span) -> str:
    return f"{printable(span.source.name)}:{span.line}:{span.column}"


def _snippet(span: Span, label: str, tint: str, off: str) -> list[str]:
    text = span.source.line_text(span.line)
    begin = span.column - 1
    width = max(1, min(span.end - span.start, len(text) - begin))
    if len(text) > WIDEST:
        cut = max(0, begin - 40)
        text, begin = text[cut : cut + WIDEST], begin - cut
        width = max(1, min(width, len(text) - begin))
    marked = max(1, columns(printable(text[begin : begin + width])))
    under = " " * columns(printable(text[:begin])) + tint + "~" * marked
    return [f"    {printable(text)}".rstrip(), f"    {under}{off}{' ' + said(label) if label else ''}"]


def said(text: str) -> str:
    """Words of a message: printable, and a very long quoted word by its beginning only."""
    return printable(_LONG_QUOTED.sub(lambda m: f"`{m[1]} ...`", text))


def printable(text: str) -> str:
    """Control characters and stray surrogates shown as a replacement, so that no script can steer a terminal."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c == "\t" else "\ufffd" for c in text)


def as_json(diagnostics: Iterable[Diagnostic]) -> list[dict[str, Any]]:
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
