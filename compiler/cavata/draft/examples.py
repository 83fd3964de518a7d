"""Short examples of music as pictures, drawn by Verovio.

In: written scores of one short movement each. Out: an SVG picture of each, as wide as its column and as high as its
music, without names.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from cavata.draft import NotDrawn
from cavata.draft.music import DraftPaper, drawn_example
from cavata.lilypond.engraving import EngravingFault, Failure
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore

WIDTH_MM = 110
_HEAD = re.compile(
    r'<g id="([^"]+?)(?:h\d+)?" class="note"><g class="notehead"><use xlink:href="#(\w+)-\w+" '
    r'transform="translate\((\d+), (\d+)\)'
)
_BOX = re.compile(r'viewBox="0 0 (\d+) (\d+)"><g class="page-margin" transform="translate\((\d+), (\d+)\)')
_WHOLE, _HALF_OF_WHOLE, _HALF_OF_HEAD = "E0A2", 152, 106
"""Half of what a head is wide, in units of the picture: 1.688 and 1.18 spaces of 180. Source: SMuFL 1.4, Bravura."""
_SHEET = DraftPaper(WIDTH_MM, WIDTH_MM, 6)


def drawn_examples(examples: Sequence[WrittenScore], say: Callable[[str], None]) -> list[bytes] | Failure:
    """A picture of each, in their order."""
    found: list[bytes] = []
    for number, score in enumerate(examples, start=1):
        say(f"drawing example {number} of {len(examples)}")
        try:
            found.append(drawn_example(musicxml_bytes(score, score.movements[0].name), _SHEET).encode("utf-8"))
        except NotDrawn:
            return Failure(EngravingFault.ERROR, "Verovio could not read the MusicXML of an example")
    return found


def heads_in(picture: str) -> Iterator[tuple[float, float, str]]:
    """The middle of each note head, in shares of the picture's width and height from the left and the top, with the id
    of its note or chord."""
    box = _BOX.search(picture)
    assert box is not None
    width, height, left, top = map(int, box.groups())
    for name, glyph, x, y in _HEAD.findall(picture):
        half = _HALF_OF_WHOLE if glyph == _WHOLE else _HALF_OF_HEAD
        yield (int(x) + left + half) / width, (int(y) + top) / height, name
