"""The letters under a note: which letters of which names it stands for.

In: an event. Out: the text, low to high, as `F` or `F A`; empty where no name gave the note.
"""

from __future__ import annotations

from cavata.music.event import Event


def letters(event: Event) -> str:
    """The letters of every head, lowest first; a letter that a head has twice stands once."""
    heads = event.heads
    if len(heads) == 1 and len(heads[0].origins) == 1:
        letter = heads[0].origins[0].letter
        return letter.text if letter else ""
    return " ".join(
        text for head in heads
        for text in dict.fromkeys(origin.letter.text for origin in head.origins if origin.letter)
    )  # fmt: skip
