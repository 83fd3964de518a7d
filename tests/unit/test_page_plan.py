"""Pages of a part are divided so that they can be turned. Source: common practice."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.engrave import find_lilypond
from cavata.lilypond.engraving import Engraving
from cavata.lilypond.part_pages import layout_of, without_reports
from cavata.notate.notate import notate
from cavata.notate.paper.page_turns import (
    TURN_SECONDS,
    PageTurn,
    PartLayout,
    SetSystem,
    bad_turns,
    crowded,
    with_pages_planned,
)
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script

SYSTEMS_ON_A_PAGE = 10
BARS_IN_A_SYSTEM = 4


def part(bars: int, rests: dict[int, int], tempo: int = 60) -> WrittenScore:
    """A flute that plays four quarters a bar but for rests: so many bars from a bar on."""
    items, bar = [], 1
    while bar <= bars:
        if bar in rests:
            items.append(f"{rests[bar]} bars rest")
            bar += rests[bar]
        else:
            until = min([start for start in rests if start > bar] + [bars + 1])
            items.append(f"notes(1/4 C5 D5 E5 F5) x {until - bar}")
            bar = until
    text = (
        f"language 2\nforces\n    flute = flute\nmovement first\n    tempo 1/4 at {tempo}\n"
        f"    section one {bars} bars\n        flute: {', '.join(items)}\n"
    )
    score = compile_script(Path("turning.cavata"), text=text).score
    assert score is not None
    (copy,) = copies(score, WantedCopies(score=False, parts=None), Diagnostics())
    return notate(copy.score)


def laid_out(page: WrittenScore, first_page: int = 1) -> PartLayout:
    """As a plain engraver would: four bars of 4/4 a system, ten systems a page, each of its whole height."""
    whole = sum(frame.duration for frame in page.movements[0].frames)
    systems = []
    for number in range(-(-int(whole) // BARS_IN_A_SYSTEM)):
        begin = Fraction(number * BARS_IN_A_SYSTEM)
        end = min(begin + BARS_IN_A_SYSTEM, Fraction(whole))
        systems.append(SetSystem(first_page + number // SYSTEMS_ON_A_PAGE, begin, end, 11.5))
    return PartLayout(tuple(systems), 14.0 * SYSTEMS_ON_A_PAGE + 3, first_page)


def page_ends(page: WrittenScore) -> list[int]:
    return [frame.number for frame in page.movements[0].frames if frame.ends_page]


def test_a_bar_of_rest_is_enough_if_it_is_long_enough() -> None:
    """One bar of 4/4 lasts 4 s at a quarter = 60, 2 s at 120: by arithmetic."""
    assert Fraction(2) < TURN_SECONDS < Fraction(4)
    for tempo, may in ((60, True), (120, False)):
        frames = part(12, {5: 1}, tempo).movements[0].frames
        assert [frame.number for frame in frames if frame.may_turn] == ([4, 5, 12] if may else [12])


def test_no_page_is_turned_over_a_held_note() -> None:
    """Source: common practice."""
    rows = "flute: notes(1/4 C5, 7/4 D5), 2 bars rest, notes(1/1 C5)"
    text = f"language 2\nforces\n    flute = flute\nmovement first\n    tempo 1/4 at 60\n    {rows}\n"
    score = compile_script(Path("held.cavata"), text=text).score
    assert score is not None
    (copy,) = copies(score, WantedCopies(score=False, parts=None), Diagnostics())
    frames = notate(copy.score).movements[0].frames
    assert [frame.number for frame in frames if frame.may_turn] == [2, 3, 4, 5]


def test_silence_just_long_enough_is_enough() -> None:
    """Four beats last 2.5 s at 96 and less at 97: by arithmetic."""
    assert Fraction(5, 2) == TURN_SECONDS
    for tempo, may in ((96, True), (97, False)):
        frames = part(12, {5: 1}, tempo).movements[0].frames
        assert [frame.number for frame in frames if frame.may_turn] == ([4, 5, 12] if may else [12])


@pytest.mark.parametrize(
    ("joined", "last_bar", "may_turn"),
    [("", "1/1 D5", True), ("    attacca\n", "1/1 D5", False), ("    attacca\n", "1/4 D5", True)],
    ids=["a pause follows", "attacca", "attacca after a rest"],
)
def test_page_may_be_turned_after_a_movement_unless_the_next_follows_at_once(
    joined: str, last_bar: str, may_turn: bool
) -> None:
    """At a quarter = 60 three beats of rest last 3 s: by arithmetic."""
    text = (
        f"language 2\nforces\n    flute = flute\nmovement first\n{joined}    tempo 1/4 at 60\n"
        f"    section one 2 bars\n        flute: notes(1/1 C5), notes({last_bar})\n"
        "movement second\n    flute: notes(1/1 C5)\n"
    )
    score = compile_script(Path("turning.cavata"), text=text).score
    assert score is not None
    (copy,) = copies(score, WantedCopies(score=False, parts=None), Diagnostics())
    assert notate(copy.score).movements[0].frames[-1].may_turn is may_turn


def test_two_pages_lie_open_and_are_not_turned() -> None:
    page = part(80, {})
    assert bad_turns(page, laid_out(page)) == ()
    assert with_pages_planned(page, laid_out(page)) is None


def test_a_turn_while_playing_is_found_with_its_bar() -> None:
    page = part(160, {})
    assert bad_turns(page, laid_out(page)) == (PageTurn("first", 40), PageTurn("first", 120))


def test_the_first_page_ends_where_there_is_a_rest() -> None:
    page = part(112, {33: 2})
    planned = with_pages_planned(page, laid_out(page))
    assert planned is not None
    assert planned.first_page == 1
    assert page_ends(planned)[0] in (32, 34)


def test_every_right_hand_page_ends_in_a_rest_where_rests_allow_it() -> None:
    rests = {37: 2, 110: 2, 185: 2, 250: 2}
    page = part(300, rests)
    planned = with_pages_planned(page, laid_out(page))
    assert planned is not None
    ends = page_ends(planned)
    turned = ends[0::2] if planned.first_page == 1 else ends[1::2]
    frames = planned.movements[0].frames
    assert turned and all(frames[end - 1].may_turn for end in turned)


def test_a_part_without_an_early_rest_begins_on_the_left() -> None:
    page = part(150, {75: 2})
    planned = with_pages_planned(page, laid_out(page))
    assert planned is not None
    assert planned.first_page == 2
    assert page_ends(planned)[1] in (74, 76)


def test_no_page_is_planned_too_full() -> None:
    for rests in ({}, {30: 3}, {71: 1, 140: 4}):
        page = part(200, rests)
        planned = with_pages_planned(page, laid_out(page))
        if planned is not None:
            ends = [0, *page_ends(planned), 200]
            most = max(end - begin for begin, end in zip(ends, ends[1:], strict=False))
            assert most <= BARS_IN_A_SYSTEM * SYSTEMS_ON_A_PAGE


def test_a_crowded_page_is_seen() -> None:
    systems = tuple(SetSystem(1, Fraction(n), Fraction(n + 1), 20.0) for n in range(5))
    assert crowded(PartLayout(systems, 100.0))
    assert not crowded(PartLayout(systems, 120.0))


def test_reports_of_the_layout_are_read_and_kept_from_the_reader() -> None:
    remarks = (
        "layout 1 room 149.3", "layout 2 words 1 5.5", "layout 3 words 1 2.5", "layout 4 system 1 0 27/2 17.5", "odd",
        "layout 5 system 2 27/2 20 8.0",
    )  # fmt: skip
    engraving = Engraving((), (), remarks)
    assert layout_of(engraving) == PartLayout(
        (SetSystem(1, Fraction(0), Fraction(27, 2), 17.5, 8.0), SetSystem(2, Fraction(27, 2), Fraction(20), 8.0)), 149.3
    )
    assert without_reports(engraving).remarks == ("odd",)


@pytest.mark.slow
@pytest.mark.skipif(not isinstance(find_lilypond(), str), reason="LilyPond is not installed")
def test_lilypond_breaks_the_pages_where_they_were_planned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A part of three pages that would be turned while playing is not any more, and no message says it is."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "kept"))
    run = "notes(1/16 C5 D5 E5 F5 G5 F5 E5 D5 C5 D5 E5 F5 G5 F5 E5 D5)"
    (tmp_path / "lantern.cavata").write_text(
        "language 2\nforces\n    flute = flute\nmovement first\n    tempo 1/4 at 60\n"
        f"    flute: {run} x 14, 2 bars rest, {run} x 45\n"
    )
    assert main(["build", "lantern.cavata", "--part", "flute", "--to", "pdf", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert not [found for found in told["messages"] if found["code"] == "O122"]


def test_a_bar_of_free_time_over_several_systems_counts_with_all_of_them() -> None:
    text = "language 2\nforces\n    flute = flute\ncadenza alone\n    flute: notes(1/4 C5 D5 E5 F5) x 2\n"
    score = compile_script(Path("turning.cavata"), text=text).score
    assert score is not None
    (copy,) = copies(score, WantedCopies(score=False, parts=None), Diagnostics())
    page = notate(copy.score)
    halves = (Fraction(0), Fraction(1)), (Fraction(1), Fraction(2))
    systems = tuple(SetSystem(number, *half, 90.0) for number, half in enumerate(halves, start=1))
    assert bad_turns(page, PartLayout(systems, 100.0)) == ()
    assert not crowded(PartLayout(systems, 100.0))
