"""The warning that notes could not be spelled exactly.

In: what steps noted, and the value that they made. Out: one warning at the step: which notes, and what they became.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from cavata.diagnostics import Diagnostics
from cavata.music.event import Motif, Rhythm, Texture
from cavata.source import Span
from cavata.transforms.pitches import Respelling

MOST_TOLD = 6
"""How many notes are told one by one."""


def tell_respellings(
    noted: Sequence[Respelling], value: Motif | Texture | Rhythm, span: Span, bag: Diagnostics
) -> None:
    """Warn at a place where notes of its value could not be spelled exactly; silent if all could."""
    if not noted:
        return
    pairs = list(dict.fromkeys(f"{one.wanted} becomes {one.became}" for one in noted))
    bag.warning(
        "V210", span, f"{_which(noted, value)} respelled: the exact spelling would pass a double accidental",
        label=", ".join(pairs if len(pairs) <= MOST_TOLD else [*pairs[:MOST_TOLD], "..."]),
        cure="`respelled simply` spells a whole line by its key",
    )  # fmt: skip


def _which(noted: Sequence[Respelling], value: Motif | Texture | Rhythm) -> str:
    """The notes by their numbers in a line; of several lines only that there are some."""
    own = {id(one.became) for one in noted}
    sounding = value.sounding if isinstance(value, Motif) else ()
    numbers = [
        str(number)
        for number, event in enumerate(sounding, start=1)
        if any(id(head.pitch) in own for head in (*event.heads, *chain.from_iterable(event.marks.graces)))
    ]
    match numbers:
        case []:
            return "some notes are"
        case [number]:
            return f"note {number} is"
        case _ if len(numbers) <= MOST_TOLD:
            return f"notes {', '.join(numbers[:-1])} and {numbers[-1]} are"
        case _:
            return f"{len(numbers)} notes, from note {numbers[0]} on, are"
