"""`cavata format --renew`: scripts of edition 1 turned into edition 2, with the same music.

In: scripts. Out: their new texts, laid out. What an old `for` or `until end` did depends on the value before it.
"""

from __future__ import annotations

from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.source import Source
from cavata.syntax.renew import applied, renewal


def renewed(path: Path, text: str, bag: Diagnostics) -> str:
    """The script in the new edition; what could not be turned, or must be looked at, is reported at its place."""
    source = Source(str(path), text)
    work = renewal(source)
    for span in work.unread:
        bag.error("S810", span, "this cannot be read as edition 1 either", label="left as it stands",
                  cure="mend it first, then renew the script")  # fmt: skip
    for span, what in work.remarks:
        bag.warning("S811", span, f"it is not known {what}", label="look at it", cure="")
    for doubt in work.doubts:
        bag.warning("S811", doubt.value, "it is not known whether this was held or repeated", label="look at it",
                    cure="`held` sustains one note or chord, `for` repeats and cuts")  # fmt: skip
    return applied(text, work.edits)
