"""Edits of a script: a few words at their places changed, everything else as it stands.

In: a text, and stretches of it with what stands there instead. Out: the new text. Comments, layout and whatever no edit
touches stay. The places count in the text as it was parsed; `in_file` makes the same edits in a file, whose byte order
mark and line ends the parser does not see, and refuses one that is not what was parsed any more.
"""

from __future__ import annotations

from collections.abc import Iterable

from cavata.record import record
from cavata.source import Span

_MARK = "\ufeff"
"""The byte order mark that some editors put before a text."""


@record
class Edit:
    """A stretch of the text, from `start` up to `end`, and what stands there instead."""

    start: int
    end: int
    text: str


def applied(text: str, edits: Iterable[Edit], offset: int = 0) -> str:
    """The text with its edits made; `offset` is where the text begins in what the edits count from.

    Of edits that overlap the first is made.
    """
    out, at = [], 0
    for edit in sorted(edits, key=lambda e: (e.start, e.end)):
        if edit.start - offset < at:
            continue
        out += [text[at : edit.start - offset], edit.text]
        at = edit.end - offset
    return "".join(out) + text[at:]


def without(span: Span) -> Edit:
    """Take out a row of one line: with its line, or only itself where a comment follows it there."""
    text = span.source.text
    begin = text.rfind("\n", 0, span.start) + 1
    end = text.find("\n", span.end)
    end = len(text) if end < 0 else end + 1
    alone = not text[begin : span.start].strip() and not text[span.end : end].strip()
    return Edit(begin, end, "") if alone else Edit(span.start, span.end, "")


def row_after(span: Span, edits: Iterable[Edit]) -> str:
    """The line on which a stretch begins as it reads with the edits, without its indentation and comment."""
    source = span.source
    start = source.line_start(span.line)
    line = source.line_text(span.line)
    end = start + len(line)
    text = applied(line, [edit for edit in edits if start <= edit.start and edit.end <= end], start)
    return without_comment(text).strip()


def without_comment(line: str) -> str:
    """A line of a script up to its comment."""
    quoted = False
    for place, sign in enumerate(line):
        quoted ^= sign == '"' and line[place - 1 : place] != "\\"
        if not quoted and line.startswith("--", place):
            return line[:place]
    return line


def as_parsed(content: bytes) -> str:
    """The text of a file as the parser sees it: no byte order mark, lines ended by line feeds. Raises ValueError."""
    return content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")


def in_file(content: bytes, parsed: str, edits: Iterable[Edit]) -> bytes | None:
    """A file's content with the edits made; None if its text is not the parsed one any more."""
    try:
        if as_parsed(content) != parsed:
            return None
    except ValueError:
        return None
    raw = content.decode("utf-8")
    place = len(_MARK) if raw.startswith(_MARK) else 0
    places = []
    for sign in parsed:
        places.append(place)
        place += 2 if sign == "\n" and raw.startswith("\r\n", place) else 1
    places.append(place)
    end = "\r\n" if "\r\n" in raw else "\n"
    moved = [Edit(places[edit.start], places[edit.end], edit.text.replace("\n", end)) for edit in edits]
    return applied(raw, moved).encode("utf-8")
