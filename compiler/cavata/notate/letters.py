"""The letters under a note: which letters of which names it stands for.

In: an event. Out: the text, low to high, as `F` or `F A`; empty where no name gave the note.
"""

from __future__ import annotations

from cavata.music.event import Event
from cavata.music.origin import Letter


def letters(event: Event) -> str:
    """The letters of every head, lowest first; a letter that a head has twice, or several heads have, stands once."""
    heads = event.heads
    if len(heads) == 1 and len(heads[0].origins) == 1:
        letter = heads[0].origins[0].letter
        return letter.text if letter else ""
    found: dict[Letter, None] = {}
    for head in heads:
        texts = {letter.text for letter in found if letter in {origin.letter for origin in head.origins}}
        for origin in head.origins:
            if origin.letter and origin.letter.text not in texts:
                texts.add(origin.letter.text)
                found.setdefault(origin.letter)
    return " ".join(letter.text for letter in found)
