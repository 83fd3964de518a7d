"""One MusicXML document of a whole piece, joined from those of its movements.

In: the written score, and the document of each movement. Out: one document in which every part goes on from movement
to movement. Holds after: what is in a movement's document stands in the whole as it is, ids included; only its first
measures have more: a new system and the movement's title, and what of the movement before would go on otherwise - the
signature of a key, an instrument in hand, the place to which a repeat goes back. Nothing is exported a second time,
but for a movement that lacks a staff which a part has elsewhere, for readers count staves once.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from xml.etree import ElementTree
from xml.sax.saxutils import escape

from cavata.musicxml.directions import free_meter
from cavata.musicxml.page import beginning
from cavata.musicxml.staves import Staves, staves_in_all, staves_of
from cavata.notate.written import WrittenMovement, WrittenPart, WrittenScore
from cavata.text import plain_text

_PART = re.compile(r'<part id="[^"]*">\n(.*?)</part>\n', re.DOTALL)
_PART_LIST = re.compile(r"<part-list>.*?</part-list>\n", re.DOTALL)
_FIRST_ATTRIBUTES = re.compile(r"(?<=<attributes>).*?(?=</attributes>)", re.DOTALL)
_CLEF = re.compile(r'<clef(?: number="([0-9]+)")?[^>]*>(.*?)</clef>')
"""A clef with its staff. Where a movement begins only one that is another than before is said: readers would draw it
twice. It has attributes of its own, since LilyPond's converter gives all staves the last of several clefs there."""
_FREE = re.compile(r"<time><senza-misura ?/></time>")
_NO_KEY = "<key><fifths>0</fifths></key>"
_AS_WRITTEN = "<transpose><diatonic>0</diatonic><chromatic>0</chromatic></transpose>"
_AFTER_TRANSPOSE = "<measure-style"
_REPEATED_FROM_HERE = (
    '<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward" /></barline>\n'
)
_FROM_THE_LEFT = '<barline location="left">'
_SIGN = re.compile(r'(<sound (?:segno|coda|dalsegno|tocoda)=)"(?:segno|coda)"')


Documents = Callable[[WrittenScore, str, Staves | None], bytes]
"""What makes the document of a movement, with just these staves if they are given, as `musicxml_bytes` does."""


def whole_bytes(score: WrittenScore, documents: Mapping[str, bytes], make: Documents | None = None) -> bytes:
    """The whole piece in UTF-8; `documents` are those of its movements, by their names, and `make` makes more."""
    wanted = staves_in_all(score)
    texts = [_text(score, movement, wanted, documents, make).partition("<part-list>") for movement in score.movements]
    parts = [_PART.findall(music) for _, _, music in texts]
    joined = []
    for number, movements in enumerate(zip(*parts, strict=True)):
        bodies = (
            _body(score, place, number, body, _CLEF.findall(movements[place - 1]) if place else ())
            for place, body in enumerate(movements)
        )
        joined.append(f'<part id="P{number + 1}">\n{"".join(bodies)}</part>\n')
    part_list = _PART_LIST.search("<part-list>" + texts[0][2])
    assert part_list is not None
    return f"{beginning(score)}{part_list[0]}{''.join(joined)}</score-partwise>\n".encode()


def _text(
    score: WrittenScore, movement: WrittenMovement, wanted: Staves, documents: Mapping[str, bytes],
    make: Documents | None,
) -> str:  # fmt: skip
    """The document of a movement, with every staff that a part has in some movement."""
    if staves_of(movement) == wanted:
        return documents[movement.name].decode("utf-8")
    if make is None:
        from cavata.musicxml.document import musicxml_bytes  # with music21, which nothing else here needs

        make = musicxml_bytes
    return make(score, movement.name, wanted).decode("utf-8")


def _body(score: WrittenScore, place: int, number: int, body: str, clefs: Sequence[tuple[str, str]]) -> str:
    """The measures of a part in a movement as they stand in the whole; `clefs` are those of the movement before."""
    movement = score.movements[place]
    before = [earlier.parts[number] for earlier in score.movements[:place]]
    first, end, rest = body.partition("</measure>\n")
    opening, line, inside = first.partition("\n")
    inside = _FIRST_ATTRIBUTES.sub(lambda found: _attributes(found[0], movement, number, before), inside, count=1)
    attributes, closing, music = inside.partition("</attributes>\n")
    said = "".join((*_sound(movement.parts[number], number, before), *(_title(movement) if number == 0 else ())))
    if place:
        before_it = dict(clefs)
        others = (clef[0] for clef in _CLEF.finditer(attributes) if clef[2] != before_it.get(clef[1] or ""))
        changes = "".join(f"<attributes>{clef}</attributes>\n" for clef in others)
        attributes, closing = _CLEF.sub("", attributes), closing + changes
    inside = "".join((attributes, closing, said, music))
    if place:
        inside = _beginning(movement, inside)
    whole = "".join((opening, line, inside, end, rest))
    return _SIGN.sub(rf'\1"{movement.name}"', whole) if place else whole


def _beginning(movement: WrittenMovement, inside: str) -> str:
    """The first measure of a later movement, on a new system."""
    inside = inside.replace("<print>", f'<print new-{"page" if movement.begins_page else "system"}="yes">', 1)
    if movement.frames[0].repeat_begins and _FROM_THE_LEFT not in inside:
        at = inside.index("<attributes>")
        inside = inside[:at] + _REPEATED_FROM_HERE + inside[at:]  # else the playing would go back further
    return inside


def _attributes(inside: str, movement: WrittenMovement, number: int, before: Sequence[WrittenPart]) -> str:
    """The attributes of a movement's first measure, with those of before that do not hold any more."""
    part = movement.parts[number]
    if before:
        inside = _FREE.sub(ElementTree.tostring(free_meter(movement.frames[0]), encoding="unicode"), inside)
    if part.staves[0].bars[0].key is None and any(bar.key for earlier in before for bar in earlier.staves[0].bars):
        inside = inside.replace("</divisions>", f"</divisions>{_NO_KEY}", 1)
    if _has_changed(before) and "<transpose>" not in inside:
        at = inside.find(_AFTER_TRANSPOSE)
        at = len(inside) if at < 0 else at
        inside = inside[:at] + _AS_WRITTEN + inside[at:]
    return inside


def _sound(part: WrittenPart, number: int, before: Sequence[WrittenPart]) -> Iterator[str]:
    """The player's own instrument is in hand again."""
    if _has_changed(before) and part.staves[0].bars[0].instrument is None:
        program = f"<midi-program>{part.part.instrument.program + 1}</midi-program>"
        yield f'<sound><midi-instrument id="P{number + 1}-I1">{program}</midi-instrument></sound>\n'


def _has_changed(before: Sequence[WrittenPart]) -> bool:
    """Whether the player took up another instrument in some movement."""
    return any(bar.instrument is not None for earlier in before for bar in earlier.staves[0].bars)


def _title(movement: WrittenMovement) -> Iterator[str]:
    if movement.title:
        words = f'<words font-size="14" font-weight="bold">{escape(plain_text(movement.title))}</words>'
        yield f'<direction placement="above"><direction-type>{words}</direction-type></direction>\n'
