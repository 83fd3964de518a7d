"""The page of a copy: its margins, how high the staves are, and the room for names before a system.

In: the header, and the movements with the parts that stand in their systems. Out: a `PageSetting`, one for all sheets
of the copy, so that they look alike.

The heights of staves come near the old engravers' pens: 7 mm for piano and parts, 6.3 for chamber music, 5.6 and 4.9
for larger scores, 3.7 for the full orchestra, the smallest pen (from memory of the rastra 3 to 8).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.names.paper import PAPERS, Paper, find_paper
from cavata.notate.written import PageSetting, WrittenMovement
from cavata.score.score import CopyKind, Group, Header, Part
from cavata.text import columns, lines_of_text

INNER_MM, OUTER_MM = 18, 13
"""The margins at the side of the binding and at the other; the first page lies on the right."""
HEAD_MM = 12
"""The margins above and below."""
POINT_MM = Fraction(254, 7227) * 10
"""A printer's point, 1/72.27 inch, in millimeters."""
SIZES = tuple(Fraction(size) for size in ("20", "18", "16", "14", "12", "10.5", "9", "8"))
"""Heights of a staff in points, those that LilyPond has letters for."""
READABLE = Fraction(21, 2)
"""Below it a conductor at a desk can hardly read: 3.7 mm."""
PART_SIZE = SIZES[0]
"""The five lines of a part are 7 mm high, which can be read from a music stand."""
_USUAL = ((4, 20), (7, 18), (10, 16))
"""For at most so many staves in a system so many points, where the paper allows it."""
_LARGE = 14
"""A score of more staves."""
_AROUND_MM = 34
"""Margins, the page number, and room above and below the systems."""
_CLOSEST = Fraction(5, 2)
"""What a staff takes with the room to the next one, in its own height, where a system fills its page."""
_CHAMBER = 6
"""In a score of more staves a sign parts the systems of a page."""

NAME_WIDTH, NAME_LINES = 16, 3
"""Letters in a line of an instrument's name before it is broken, and lines at most."""
SMALLEST_NAME = Fraction(7)
"""Points: the letters of names are no smaller."""
LETTERS = Fraction(11, 20)
"""The height of letters in a staff's height, as LilyPond has them."""
_LETTER_WIDTH, _BRACKET = Fraction(11, 20), Fraction(9, 10)
"""A letter of the text face in its height, and the room of a bracket in the height of a staff."""


def page_of(header: Header, movements: Sequence[WrittenMovement], groups: Sequence[Group] = ()) -> PageSetting:
    """The page of a copy of these movements."""
    if header.kind is CopyKind.PART and movements:
        return _page_of_part([part.part for part in movements[0].parts], movements)
    staves = _staves(movements)
    if header.show_letters:
        staves += staves // 4
    if any(movement.marks_above for movement in movements):
        staves += 1
    # A short score is for study, so that two systems stand on its page.
    size = staff_size(staves * (2 if header.kind is CopyKind.SHORT else 1), header.paper)
    player = {name: group for group in groups if group.one_player for name in group.parts}
    labels = (
        _breadth(part.part, part.part.label, [member.label for member in part.part.members])
        + _beside(player.get(part.part.name), long=True)
        for movement in movements[:1] for part in movement.printed
    )  # fmt: skip
    abbreviations = (
        _breadth(part.part, part.part.abbreviation, [member.abbreviation for member in part.part.members])
        + _beside(player.get(part.part.name), long=False)
        for movement in movements for part in movement.printed
    )  # fmt: skip
    # The only part of a piece is named once.
    several = any(len(movement.parts) != 1 for movement in movements)
    first, later = max(labels, default=0), max(abbreviations, default=0) if several else 0
    return PageSetting(size, staves, _room(first, size), _room(later, size), True, several, staves > _CHAMBER)


def _page_of_part(parts: Sequence[Part], movements: Sequence[WrittenMovement]) -> PageSetting:
    """A part has its reader's name at the head of its page; before a system only the names of its percussion."""
    names = [member.abbreviation for part in parts for member in part.members]
    own = 0
    if len(parts) > 1:
        names += [part.abbreviation for part in parts]
    elif names and parts[0].abbreviation != ", ".join(names):
        own = len(parts[0].abbreviation)
    room = _room(own + max(map(len, names), default=0), PART_SIZE)
    return PageSetting(PART_SIZE, _staves(movements), room, room, False, bool(names), False)


def _staves(movements: Sequence[WrittenMovement]) -> int:
    """How many stand in the largest system."""
    return max((sum(len(part.staves) for part in movement.printed) for movement in movements), default=1)


def staff_size(staves: int, paper: Paper) -> Fraction:
    """The staff's height in points for so many staves in a system."""
    usual = next((size for most, size in _USUAL if staves <= most), _LARGE)
    room = height_for_music(paper) / (max(1, staves) * _CLOSEST * POINT_MM)
    return next((size for size in SIZES if size <= min(Fraction(usual), room)), SIZES[-1])


def height_for_music(paper: Paper) -> Fraction:
    """Millimeters of a page that systems can fill."""
    return paper.height - _AROUND_MM


def readable_paper(staves: int) -> str:
    """The first of the papers on which so many staves can be read at a desk; empty if they are too many for all."""
    papers = (paper for paper in map(find_paper, PAPERS) if paper is not None)
    return next((paper.name for paper in papers if staff_size(staves, paper) >= READABLE), "")


def millimeters(size: Fraction) -> Fraction:
    """A height in points as millimeters."""
    return size * POINT_MM


def _room(letters: int, size: Fraction) -> Fraction:
    """Millimeters for a name and a bracket before staves of a size; none where there is no name."""
    if not letters:
        return Fraction(0)
    height = millimeters(max(LETTERS * size, SMALLEST_NAME))
    return letters * _LETTER_WIDTH * height + _BRACKET * millimeters(size)


def _breadth(part: Part, name: str, members: Sequence[str]) -> int:
    """How many letters stand before a staff; of a set of percussion its instruments' names beside its own."""
    if not part.instrument.unpitched or not members:
        return _longest(name)
    beside = max(_longest(member) for member in members)
    return beside if name == ", ".join(members) else _longest(name) + 1 + beside


def _beside(player: Group | None, long: bool) -> int:
    """How many letters stand before the name of an instrument under the brace of its player."""
    return 0 if player is None else _longest(player.label if long else player.abbreviation) + 1


def _longest(name: str) -> int:
    return max(columns(line) for line in lines_of_text(name, NAME_WIDTH, NAME_LINES))
