"""The cure of a message as an edit, where it says what to write in place of the marked text."""

from __future__ import annotations

import re

from cavata.diagnostics import Diagnostic

_MEANT = re.compile(r"did you mean `([^`]+)`\?")
_WRITE = re.compile(r"write `([^`]+)`")
WRITTEN_INSTEAD = frozenset(["S810"])
"""Messages whose cure is the whole text to be written where they point."""


def instead(message: Diagnostic) -> str | None:
    """What is to stand in place of the text that a message marks; None where its cure needs a composer."""
    if message.span is None:
        return None
    meant = _MEANT.fullmatch(message.cure)
    if meant is not None and "\n" not in message.span.text:
        return meant[1]
    written = _WRITE.fullmatch(message.cure) if message.code in WRITTEN_INSTEAD else None
    return written[1] if written is not None else None
