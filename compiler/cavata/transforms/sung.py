"""Words to sing: the syllables of a text laid under the notes of a line.

In: a line and a text in which hyphens part syllables and `_` holds a syllable over a further note. Out: the line, a
syllable at every note as far as the text goes; rests have none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from cavata.music.event import Motif
from cavata.music.refusal import Refusal
from cavata.music.syllable import HELD, Syllable
from cavata.record import replace

_PIECES = re.compile(r"[^-_]+|_")


def sung(motif: Motif, text: str) -> Motif:
    """The syllables of the text under the notes in turn; a chord is sung as one note."""
    words = tuple(syllables(text))
    if not words:
        raise Refusal("V608", "there is no syllable to sing", "no word", "", (0, 0))
    if not words[0].text:
        raise Refusal("V607", "`_` has no syllable to hold", "it stands first", "write the syllable before it", (0, 0))
    meant = [index for index, event in enumerate(motif.events) if event.heads]
    if len(words) > len(meant):
        more = words[len(meant)]
        raise Refusal(
            "V606", f"{{subject}} has {_notes(len(meant))} for {len(words)} syllables", f"too many from `{more}` on",
            "give it more notes, or fewer syllables", (0, 0),
        )  # fmt: skip
    events = list(motif.events)
    for index, syllable in zip(meant, words, strict=False):
        events[index] = replace(events[index], marks=replace(events[index].marks, sung=syllable))
    return Motif(tuple(events))


def syllables(text: str) -> Iterator[Syllable]:
    """The syllables of a text in order, and for each `_` a held one."""
    for word in text.split():
        pieces = _PIECES.findall(word)
        last = max((place for place, piece in enumerate(pieces) if piece != "_"), default=-1)
        for place, piece in enumerate(pieces):
            yield HELD if piece == "_" else Syllable(piece, place < last)


def _notes(count: int) -> str:
    return "1 note" if count == 1 else f"{count or 'no'} notes"
