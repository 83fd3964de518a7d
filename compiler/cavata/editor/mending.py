"""The cure of a message as an edit, where it says what to write in place of the marked text."""

from __future__ import annotations

import re

from cavata.diagnostics import Diagnostic, closest
from cavata.source import Span

_MEANT = re.compile(r"did you mean (`[^`]+`(?:(?:,| or) `[^`]+`)*)\?")
_WRITE = re.compile(r"write (`[^`]+`(?: or `[^`]+`)*)(?:[,;].*)?")
_WORD = re.compile(r"[^\W\d]\w*")
_QUOTED = re.compile(r"`([^`]+)`")
WRITTEN_INSTEAD = frozenset(["S810", "N218", "N408", "V411"])
"""Messages whose cure is the whole text to be written where they point."""


def instead(message: Diagnostic) -> tuple[tuple[Span, str], ...]:
    """What may be written in place of what, each a mending of its own; none where the cure needs a composer."""
    if message.span is None or "\n" in message.span.text:
        return ()
    meant = _MEANT.fullmatch(message.cure)
    if meant is not None:
        found = [_mended(message, message.span, word) for word in _QUOTED.findall(meant[1])]
        return tuple(each for each in found if each is not None)
    written = _WRITE.fullmatch(message.cure) if message.code in WRITTEN_INSTEAD else None
    return () if written is None else tuple((message.span, text) for text in _QUOTED.findall(written[1]))


def _mended(message: Diagnostic, marked: Span, meant: str) -> tuple[Span, str] | None:
    """The words that were mistaken for a word, which need not be all that is marked, and what to write for them."""
    if marked.text.startswith('"'):
        return marked, f'"{meant}"'
    quoted = _QUOTED.search(message.message)
    if quoted and len(marked.text.split()) != len(meant.split()) and marked.text.count(quoted[1]) == 1:
        return _inside(marked, marked.text.index(quoted[1]), quoted[1]), meant
    if message.code == "S101" and not closest(marked.text, [meant]):
        # The mistake is in a word before the one at which it was noticed.
        line = Span(marked.source, marked.source.line_start(marked.line), marked.start)
        for word in _WORD.finditer(line.text):
            if closest(word[0], [meant]):
                return _inside(line, word.start(), word[0]), meant
        return None
    return marked, meant


def _inside(span: Span, at: int, text: str) -> Span:
    return Span(span.source, span.start + at, span.start + at + len(text))
