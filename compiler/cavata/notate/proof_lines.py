"""The lines of the script beside the notes that they put there, for proof copies.

In: a written staff. Out: the same staff; where a voice goes over to another line of the script, the leaf says which.
"""

from __future__ import annotations

from cavata.instruments.language import Language
from cavata.notate.written import Item, Leaf, Tuplet, WrittenStaff
from cavata.record import replace
from cavata.score.page_words import page_words


def with_lines(staff: WrittenStaff, language: Language) -> WrittenStaff:
    """The staff with the number of a script's line at the first note that it put into each voice.

    The words around the number are those of the page's language.
    """
    told: dict[int, tuple[str, int]] = {}
    bars = []
    for bar in staff.bars:
        voices = []
        for voice, items in enumerate(bar.voices):
            marked, told[voice] = _marked(items, told.get(voice, ("", 0)), language)
            voices.append(marked)
        bars.append(replace(bar, voices=tuple(voices)))
    return replace(staff, bars=tuple(bars))


def _marked(
    items: tuple[Item, ...], told: tuple[str, int], language: Language
) -> tuple[tuple[Item, ...], tuple[str, int]]:
    """The items with the lines they come from, and the file and line that was told last."""
    marked: list[Item] = []
    for item in items:
        if isinstance(item, Tuplet):
            inner, told = _marked(item.items, told, language)
            marked.append(replace(item, items=inner))
            continue
        place = _place(item)
        if place is not None and place != told:
            words = page_words(language, "reading", "script_line", number=place[1])
            item, told = replace(item, script_line=words), place
        marked.append(item)
    return tuple(marked), told


def _place(leaf: Leaf) -> tuple[str, int] | None:
    """File and line of the script that put a note there; None for a rest."""
    if leaf.event is None or not leaf.heads:
        return None
    return leaf.event.line.source.name, leaf.event.line.line
