"""Notes that sound as they did and come from other letters of names.

In: two versions of a movement whose notes are the same. Out: one change a part.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.compare.changes import Change, Kind, Pair, Place
from cavata.compare.frame import Versions
from cavata.compare.reading import Note
from cavata.music.event import Event


def letter_changes(versions: Versions) -> Iterator[Change]:
    """For each part the notes whose letters changed. What a name is called in the script does not count."""
    old, new = versions.old, versions.new
    found: dict[str, list[tuple[Note, Note]]] = {}
    for block in versions.alignment.blocks:
        for bar_old, bar_new in zip(old.bars[slice(*block.old)], new.bars[slice(*block.new)], strict=False):
            for lane, notes in bar_new.items():
                for a, b in zip(bar_old.get(lane, ()), notes, strict=False):
                    if a.event.heads is not b.event.heads and _letters(a.event) != _letters(b.event):
                        found.setdefault(lane[0], []).append((a, b))
    for part, pairs in found.items():
        told = tuple(Pair(part, old.sounding(a, a.onset), new.sounding(b, b.onset)) for a, b in pairs)
        count = "1 note comes" if len(pairs) == 1 else f"{len(pairs)} notes come"
        place = Place(new.spot(pairs[0][1].onset), new.spot(pairs[-1][1].onset))
        yield Change(
            Kind.LETTERS, f"the same notes; {count} from other letters", versions.name, (part,), (place,), True, told
        )


def _letters(event: Event) -> list[list[str]]:
    return [[origin.letter.text for origin in head.origins if origin.letter] for head in event.heads]
