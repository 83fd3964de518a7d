"""Short examples of music as pictures, drawn by Verovio.

In: written scores of one short movement each. Out: an SVG picture of each, as wide as its column and as high as its
music, without names.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cavata.draft.music import NotDrawn, Sheet, drawn_example
from cavata.lilypond.engraving import Failure, Fault
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore

WIDTH_MM = 110
_SHEET = Sheet(WIDTH_MM, WIDTH_MM, 6)


def drawn_examples(examples: Sequence[WrittenScore], say: Callable[[str], None]) -> list[bytes] | Failure:
    """A picture of each, in their order."""
    found: list[bytes] = []
    for number, score in enumerate(examples, start=1):
        say(f"drawing example {number} of {len(examples)}")
        try:
            found.append(drawn_example(musicxml_bytes(score, score.movements[0].name), _SHEET).encode("utf-8"))
        except NotDrawn:
            return Failure(Fault.ERROR, "Verovio could not read the MusicXML of an example")
    return found
