"""How the music of a copy is laid out: what stands in its systems, where pages and sheets begin, how the last one ends.

In: the movements as they are written. Out: the `WrittenScore`, in which all of this is said, so that every output that
has pages shows the same. Lengths are judged by a coarse measure of the written music alone, so that a change in one
movement hardly ever moves another to another page, and what was engraved of the others stays good. A movement of about
a page or more begins a new page and a sheet of its own; a shorter one goes on where the one before it ended, so that
twenty tiny pieces do not take twenty pages; a very long one is cut into several sheets (`stretches`). A player's part
is one sheet: where its pages are turned depends on the pages before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.names.paper import Paper
from cavata.notate.paper.page import height_for_music, millimeters, page_of
from cavata.notate.paper.stretches import cuts
from cavata.notate.paper.systems import line_breaks, with_systems
from cavata.notate.written import WrittenMovement, WrittenScore, leaves
from cavata.record import replace
from cavata.score.page_words import page_words
from cavata.score.score import CopyKind, Group, Header, TitlePage

LONG = 4
"""A score of more pages than this has a title page if the script says nothing of it."""
_IN_A_LINE = 30
"""About how many notes of the busiest staff stand in a line at a staff of 20 points."""
_FOR_BAR_LINE = 2
"""What a bar line takes beside them."""
_USUAL_ROOM = 3
"""What a staff takes with the room around it, in its own height."""
_TITLES_MM = 36
"""What the titles on the first page take."""
_FILLED = Fraction(71, 100)
"""A copy that takes less of its one page, titles and all, stands at the top."""
_IN_PAIRS = Fraction(1, 3), Fraction(18, 25)
"""Two systems that take so much of a page each stand on it together. A last page is not filled with them, or an odd one
would be drawn over another page alone.
"""
_FULL_LINE = 10
"""A movement with fewer leaves than this in its busiest staff is less than a line."""


def laid_out(
    header: Header, groups: tuple[Group, ...], movements: Sequence[WrittenMovement], colors_note: str = "",
    title_page: TitlePage | None = None,
) -> WrittenScore:  # fmt: skip
    """The copy of these movements; the title page is kept where it is asked for, holds a note or the copy is long."""
    shown = tuple(with_systems(movement, header, number == 0, groups) for number, movement in enumerate(movements))
    page = page_of(header, shown, groups)
    lengths = [length_in_pages(movement, page.staff_size, header.paper) for movement in shown]
    total = sum(lengths, Fraction(0))
    least, most = _IN_PAIRS
    in_pairs = header.kind is not CopyKind.PART and least < _system(page.staves, page.staff_size, header.paper) < most
    filled = total + _TITLES_MM / height_for_music(header.paper) >= _FILLED and not in_pairs
    stands = total > LONG or bool(header.notes) if header.title_page is None else header.title_page
    if header.arranger.strip():
        header = replace(header, arranged_by=page_words(header.language, "people", "arr", name=header.arranger))
    return WrittenScore(
        header, groups, tuple(_with_pages(shown, lengths, header)), replace(page, filled=filled), colors_note,
        title_page if stands else None,
    )  # fmt: skip


def length_in_pages(movement: WrittenMovement, staff_size: Fraction, paper: Paper) -> Fraction:
    """About how much a movement takes of pages that hold nothing else, in whole lines."""
    staves = [staff for part in movement.printed for staff in part.staves]
    notes = 0
    for place in range(0 if movement.tacet else len(movement.frames)):
        bars = [staff.bars[place] for staff in staves]
        if bars and bars[0].rest_bars:
            notes += max((len(voice) for bar in bars for voice in bar.voices), default=0) + _FOR_BAR_LINE
    lines = max(1, -(-notes * staff_size // (20 * _IN_A_LINE)))
    return lines * _system(len(staves), staff_size, paper)


def _system(staves: int, staff_size: Fraction, paper: Paper) -> Fraction:
    """About how much a system takes of a page."""
    return staves * _USUAL_ROOM * millimeters(staff_size) / height_for_music(paper)


def _with_pages(
    movements: Sequence[WrittenMovement], lengths: Sequence[Fraction], header: Header
) -> Iterator[WrittenMovement]:
    """The movements with what begins a page: each of a page or more, but for the first of these."""
    has_long = False
    for movement, length in zip(movements, lengths, strict=True):
        divided = header.kind is not CopyKind.PART
        long = divided and length >= 1
        yield replace(
            movement, begins_page=long and has_long, short=_is_short(movement), line_breaks=line_breaks(movement),
            cuts=cuts(movement) if divided else (),
        )  # fmt: skip
        has_long = has_long or long


def _is_short(movement: WrittenMovement) -> bool:
    """Whether its busiest staff has less than a line."""
    return all(
        sum(1 for bar in staff.bars for voice in bar.voices for _ in leaves(voice)) < _FULL_LINE
        for part in movement.printed for staff in part.staves
    )  # fmt: skip
