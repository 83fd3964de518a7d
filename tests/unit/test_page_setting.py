"""How high the staves of a copy are, what stands before its systems, which page it fills: each limit on both sides.

Heights in points and lengths in millimeters are by arithmetic: a printer's point is 1/72.27 inch. That 263 mm of A4
hold music, that a staff takes two and a half of its heights at least, and how wide a letter is, are choices.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from emit_lilypond_scores import REST, bar, frame, leaf, line, movement, part

from cavata.names.paper import find_paper
from cavata.notate.paper.layout import laid_out, length_in_pages
from cavata.notate.paper.page import readable_paper, staff_size
from cavata.notate.written import PageSetting, WrittenBar, WrittenMovement, WrittenPart, WrittenStaff
from cavata.record import replace
from cavata.score.score import CopyKind, Header, TitlePage

A4 = Header("Three Watches").paper
QUARTERS = bar(*line("D5:4 E5:4 F5:4 G5:4"))


def parts(
    count: int, label: str = "Violin", short: str = "Vln.", bars: tuple[WrittenBar, ...] = (QUARTERS,)
) -> tuple[WrittenPart, ...]:
    """So many parts of one staff."""
    return tuple(part(f"v{n}", label, short, WrittenStaff("treble", bars)) for n in range(count))


def music(made: tuple[WrittenPart, ...]) -> WrittenMovement:
    """A movement of these parts."""
    bars = len(made[0].staves[0].bars)
    return movement("first", "", tuple(frame(number, "4/4") for number in range(1, bars + 1)), made)


def setting(made: tuple[WrittenPart, ...], header: Header | None = None) -> PageSetting:
    """How the page of a copy of one movement is set."""
    return laid_out(header or Header("Three Watches"), (), (music(made),)).page


def steps(paper: str, landscape: bool = False) -> list[tuple[int, float]]:
    """The numbers of staves at which the height of a staff changes, and the heights."""
    found = find_paper(paper)
    assert found is not None
    sheet = replace(found, width=found.height, height=found.width) if landscape else found
    sizes = [(staves, float(staff_size(staves, sheet))) for staves in range(1, 61)]
    return [sizes[0]] + [here for before, here in zip(sizes, sizes[1:], strict=False) if before[1] != here[1]]


@pytest.mark.parametrize(
    ("paper", "landscape", "expected"),
    [
        ("A4", False, [(1, 20), (5, 18), (8, 16), (11, 14), (22, 12), (25, 10.5), (29, 9), (34, 8)]),
        ("A4", True, [(1, 20), (5, 18), (8, 16), (11, 14), (15, 12), (17, 10.5), (20, 9), (23, 8)]),
        ("A3", False, [(1, 20), (5, 18), (8, 16), (11, 14), (32, 12), (37, 10.5), (42, 9), (49, 8)]),
    ],
)
def test_more_staves_are_smaller(paper: str, landscape: bool, expected: list[tuple[int, float]]) -> None:
    """263 mm of A4 are 748.3 points: 22 staves of 14 points with their room, 35 points each, are too many, 21 are not;
    176 mm of A4 on its side hold 500.8 points, 386 mm of A3 1098.3."""
    assert steps(paper, landscape) == expected


def test_papers_for_many_staves() -> None:
    """The first paper of the table on which a staff is 10.5 points high."""
    found = [(staves, readable_paper(staves)) for staves in range(1, 60)]
    changes = [found[0]] + [here for before, here in zip(found, found[1:], strict=False) if before[1] != here[1]]
    assert changes == [(1, "A4"), (29, "A3"), (42, "tabloid"), (44, "")]


@pytest.mark.parametrize(
    ("count", "label", "short", "expected"),
    [
        # 6 letters of 0.55 of 11 points are 36.3, the bracket is 18; 4 letters 24.2.
        (2, "Violin", "Vln.", (20, 2, 19.08, 14.83, True, False)),
        (4, "Violin", "Vln.", (20, 4, 19.08, 14.83, True, False)),
        (5, "Violin", "Vln.", (18, 5, 17.18, 13.35, True, False)),
        (6, "Violin", "Vln.", (18, 6, 17.18, 13.35, True, False)),
        (7, "Violin", "Vln.", (18, 7, 17.18, 13.35, True, True)),
        # Letters are no smaller than 7 points: 12 staves of 14 points have letters of 7.7, 23 of 12 points those of 7.
        (12, "Violin", "Vln.", (14, 12, 13.36, 10.38, True, True)),
        (23, "Violin", "Vln.", (12, 23, 11.91, 9.21, True, True)),
        (2, "Solo violin in two lines", "Solo", (20, 2, 36.09, 14.83, True, False)),
        (1, "Violin", "Vln.", (20, 1, 19.08, 0, False, False)),
        (2, "", "", (20, 2, 0, 0, True, False)),
    ],
)
def test_room_before_systems(
    count: int, label: str, short: str, expected: tuple[float, int, float, float, bool, bool]
) -> None:
    """The longest name with the bracket; the only part of a piece is named once, systems of seven staves are parted."""
    found = setting(parts(count, label, short))
    assert found.full_names
    assert (
        float(found.staff_size), found.staves, round(float(found.first_room), 2), round(float(found.later_room), 2),
        found.short_names, found.separated,
    ) == expected  # fmt: skip


def test_longest_name_of_all_movements_counts_later_and_of_the_first_at_first() -> None:
    first, second = music(parts(2)), music(parts(2, "Violoncello", "Violonc."))
    silent = replace(second, parts=tuple(replace(one, silent=True) for one in parts(3, "Violoncello", "Violonc.")))
    found = laid_out(Header("Three Watches"), (), (first, second)).page
    assert (round(float(found.first_room), 2), round(float(found.later_room), 2)) == (19.08, 23.34)
    both = laid_out(Header("Three Watches"), (), (first, silent)).page
    assert both.staves == 3  # a movement in which nobody plays shows everybody


def test_letters_take_the_room_of_a_staff_for_every_four() -> None:
    for count, staves in ((3, 3), (4, 5), (7, 8), (8, 10), (9, 11)):
        assert setting(parts(count), Header("Three Watches", show_letters=True)).staves == staves


def test_a_short_score_has_two_systems_on_its_page() -> None:
    """So its staves are as high as in a score of twice as many."""
    for count, size in ((2, 20), (3, 18), (4, 16), (5, 16), (6, 14), (10, 14), (11, 12)):
        found = setting(parts(count), Header("Three Watches", kind=CopyKind.SHORT))
        assert (float(found.staff_size), found.staves) == (size, count)


def test_a_part_has_no_name_before_its_systems() -> None:
    header = Header("Three Watches", kind=CopyKind.PART)
    assert setting(parts(1), header) == PageSetting(F(20), 1, F(0), F(0), False, False, False, filled=False)


# ---------------------------------------------------------------- lengths, title pages, and where pages begin


def long(bars: int, notes: int = 4) -> WrittenMovement:
    """A movement for one part with so many notes in each bar."""
    return music(parts(1, bars=(bar(*line("D5:4 " * notes)),) * bars))


@pytest.mark.parametrize(
    ("bars", "notes", "lines"),
    [(1, 1, 1), (10, 1, 1), (11, 1, 2), (5, 4, 1), (6, 4, 2), (10, 4, 2), (1, 28, 1), (1, 29, 2)],
)  # fmt: skip
def test_length_is_reckoned_in_whole_lines_of_thirty_notes(bars: int, notes: int, lines: int) -> None:
    """Two are reckoned for a bar line; a staff of 20 points takes 21.1 mm with the room around it, of 263."""
    found = length_in_pages(long(bars, notes), F(20), A4)
    assert found == lines * 3 * F(20) * F(2540, 7227) / 263
    assert length_in_pages(replace(long(bars, notes), tacet=True), F(20), A4) == 3 * F(20) * F(2540, 7227) / 263


def test_rests_of_several_bars_are_as_long_as_one() -> None:
    gathered = (replace(REST, rest_bars=9), *(replace(REST, rest_bars=0),) * 8)
    assert length_in_pages(music(parts(1, bars=gathered * 10)), F(20), A4) == 3 * F(20) * F(2540, 7227) / 263
    assert length_in_pages(music(parts(1, bars=gathered * 11)), F(20), A4) == 2 * 3 * F(20) * F(2540, 7227) / 263


def test_smaller_staves_hold_more_notes_in_a_line() -> None:
    """33 notes of a staff of 20 points are a line and a tenth; of one of 18 points they are 0.99 of a line."""
    eleven = long(11, 1)
    for size, lines in ((F(20), 2), (F(18), 1)):
        assert length_in_pages(eleven, size, A4) == lines * 3 * size * F(2540, 7227) / 263


def test_a_movement_of_nine_leaves_is_less_than_a_line() -> None:
    for leaves, short in ((9, True), (10, False)):
        (made,) = laid_out(Header("Three Watches"), (), (long(1, leaves),)).movements
        assert made.short is short
    both = parts(1, bars=(bar(*line("D5:4 " * 9)),)) + parts(1, bars=(bar(*line("D5:4 " * 10)),))
    assert not laid_out(Header("Three Watches"), (), (music(both),)).movements[0].short


@pytest.mark.parametrize(("lines", "filled", "titled", "begins"), [(1, False, False, False), (7, False, False, False),
                                                                    (8, True, False, False), (12, True, False, False),
                                                                    (13, True, False, True), (49, True, False, True),
                                                                    (50, True, True, True)])  # fmt: skip
def test_limits_of_a_page(lines: int, filled: bool, titled: bool, begins: bool) -> None:
    """A line takes 0.0802 of a page and titles 0.137: seven lines take 0.698 of it, eight 0.778; the limit is 0.71.
    Twelve lines are 0.96 of a page, thirteen 1.04; 49 are 3.93 and 50 are 4.01, where 4 is the limit."""
    title = TitlePage((), "", (), "", (), ())
    found = laid_out(Header("Three Watches"), (), (long(10 * lines, 1),), title_page=title)
    assert (found.page.filled, found.title_page is not None) == (filled, titled)
    twice = laid_out(Header("Three Watches"), (), (long(10 * lines, 1),) * 3, title_page=title)
    assert [one.begins_page for one in twice.movements] == [False, begins, begins]


def test_a_title_page_stands_where_it_is_asked_for_or_has_a_note() -> None:
    title = TitlePage((), "", (), "", (), ())
    for header, stands in (
        (Header("T"), False), (Header("T", title_page=True), True), (Header("T", notes=("so",)), True),
        (Header("T", notes=("so",), title_page=False), False),
    ):  # fmt: skip
        assert (laid_out(header, (), (long(1),), title_page=title).title_page is title) is stands
    assert laid_out(Header("T", title_page=True), (), (long(1),)).title_page is None


def test_a_players_part_is_one_sheet_however_long() -> None:
    header = Header("Three Watches", kind=CopyKind.PART)
    made = laid_out(header, (), (long(200), long(200), long(900)))
    assert [(one.begins_page, one.cuts) for one in made.movements] == [(False, ())] * 3
    assert laid_out(Header("T"), (), (long(200), long(900))).movements[1].cuts == (300, 600)


def test_a_short_movement_goes_on_where_a_long_one_ended() -> None:
    made = laid_out(Header("T"), (), (long(10), long(300), long(10), long(300), long(10)))
    assert [one.begins_page for one in made.movements] == [False, False, False, True, False]


def test_leaf_counts_of_all_voices() -> None:
    two = WrittenBar((line("D5:4 D5:4 D5:4 D5:4 D5:4"), line("D4:4 D4:4 D4:4 D4:4 D4:4")))
    (made,) = laid_out(Header("T"), (), (music(parts(1, bars=(two,))),)).movements
    assert not made.short
    assert length_in_pages(made, F(20), A4) == 3 * F(20) * F(2540, 7227) / 263
    assert leaf("D5:4").base == F(1, 4)
