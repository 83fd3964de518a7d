"""What all staves share at a bar, marks, letters and the text of it all. Source: common practice."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

from notate_scores import (
    all_leaves,
    bars_for,
    events,
    frames,
    instrument,
    key,
    marked,
    meter,
    movement,
    rhythm,
    score,
    shown,
    written,
)

from cavata.music.event import Marks
from cavata.notate.notate import notate
from cavata.notate.text import score_text
from cavata.score.score import Section, Staff, Tempo

FLUTE = instrument("flute")


def staff(line: str) -> list[list[Staff]]:
    return [[Staff("", (events(line),))]]


def test_meter_is_shown_where_it_changes() -> None:
    result = frames(written("C4:2 C4:2 C4:2.", meters="2/4, 2/4, 3/4"))
    assert [frame.shows_meter for frame in result] == [True, False, True]


def test_given_groups_that_change_are_shown_anew() -> None:
    result = frames(written("C4:7/8 C4:7/8 C4:7/8", meters="7/8:2+2+3, 7/8:3+2+2, 7/8:3+2+2"))
    assert [frame.shows_meter for frame in result] == [True, True, False]


def test_same_meter_without_groups_is_not_shown_anew() -> None:
    result = frames(written("C4:7/8 C4:7/8", meters="7/8:3+2+2, 7/8"))
    assert [frame.shows_meter for frame in result] == [True, False]


def test_bar_lines() -> None:
    bars = bars_for(F(3), [meter("4/4")], [key("C major"), key("C major"), key("G major")])
    first = movement(staff("C4:1 C4:1 C4:1"), bars)
    joined = replace(first, attacca=True)
    result = notate(score([first, joined, first], [FLUTE]))
    assert [[frame.barline for frame in found.frames] for found in result.movements] == [
        ["single", "double", "final"], ["single", "double", "double"], ["single", "double", "final"],
    ]  # fmt: skip


def test_last_movement_ends_with_the_final_bar_line_even_with_attacca() -> None:
    """`attacca` joins a movement to the next, says the handbook; behind the last there is none."""
    bars = bars_for(F(1), [meter("4/4")], [key("C major")])
    joined = movement(staff("C4:1"), bars, attacca=True)
    result = notate(score([joined, joined], [FLUTE]))
    assert [[frame.barline for frame in found.frames] for found in result.movements] == [["double"], ["final"]]


def test_rehearsal_letters_where_sections_begin() -> None:
    sections = [Section("hailing", "two names", F(0), 0), Section("rocking", "", F(2), 2)]
    bars = bars_for(F(3), [meter("4/4")], [None])
    tempi = [
        Tempo(F(0), F(1, 4), F(96), "With the tide"), Tempo(F(5, 4), F(1, 4), F(60)),
        Tempo(F(2), F(1, 4), F(60), printed=False),
    ]  # fmt: skip
    result = frames(notate(score([movement(staff("C4:1 C4:1 C4:1"), bars, tempi, sections)], [FLUTE])))
    assert [(frame.rehearsal, frame.section) for frame in result] == [("A", "two names"), ("", ""), ("B", "")]
    assert [[(offset, tempo.per_minute) for offset, tempo in frame.tempi] for frame in result] == [
        [(0, 96)], [(F(1, 4), 60)], [],
    ]  # fmt: skip


def test_rehearsal_letters_go_on_after_z() -> None:
    """AA follows Z, and BA follows AZ. Source: common practice."""
    sections = [Section(f"s{number}", "", F(number), number) for number in range(54)]
    line = " ".join(["C4:1"] * 54)
    bars = bars_for(F(54), [meter("4/4")], [None])
    result = [f.rehearsal for f in frames(notate(score([movement(staff(line), bars, (), sections)], [FLUTE])))]
    assert (result[0], result[25:28], result[51:]) == ("A", ["Z", "AA", "AB"], ["AZ", "BA", "BB"])


def test_single_section_has_no_letter() -> None:
    bars = bars_for(F(1), [meter("4/4")], [None])
    result = notate(score([movement(staff("C4:1"), bars, (), [Section("hailing", "two names", F(0), 0)])], [FLUTE]))
    assert (frames(result)[0].rehearsal, frames(result)[0].section) == ("", "two names")


def test_silent_part_is_said_to_be_silent() -> None:
    bars = bars_for(F(1), [meter("4/4")], [None])
    result = notate(score([movement([*staff("C4:1"), [Staff("", ((),))]], bars)], [FLUTE, instrument("oboe")]))
    assert [part.silent for part in result.movements[0].parts] == [False, True]


def test_marks_stand_at_the_beginning_or_the_end_of_a_tied_note() -> None:
    """But of two slurs that meet there the first ends before the second begins."""
    given = Marks("p", ("accent", "staccato", "fermata"), ("calm",), "crescendo", True, True, True)
    opened = marked(events("D4:1 C4:2/1 D4:1"), {0: Marks(slur_begins=True), 1: given, 2: Marks(slur_ends=True)})
    _, first, last, _ = all_leaves(written(opened))
    assert first.marks == Marks("p", ("accent",), ("calm",), "crescendo", False, False, True)
    assert last.marks == Marks(articulations=("staccato", "fermata"), hairpin_ends=True, slur_begins=True)


def test_slur_over_a_single_note_is_dropped() -> None:
    (leaf,) = all_leaves(written(marked(events("C4:1"), {0: Marks("f", slur_begins=True, slur_ends=True)})))
    assert leaf.marks == Marks("f")


def test_letters_stand_under_the_first_leaf_low_to_high() -> None:
    result = written("C4_T+E4_A_A_M:2/1 D4:2 E4_S:2")
    assert [leaf.letters for leaf in all_leaves(result)] == ["T A M", "", "", "S"]


def test_text_has_a_line_for_each_bar_and_staff() -> None:
    result = written("F#4_T+A4_A:4. r:8 r:2 D4_M:1", keys="D minor", player="bassoon")
    assert score_text(result, letters=True) == (
        'movement first "First Watch"\n'
        "bar 1  4/4\n"
        "    bassoon | (bass) key-1 <F#4! A4>:4._T+A r:8 r:2\n"
        "bar 2  then final\n"
        "    bassoon | D4:1_M\n"
    ).replace("(bass)", f"({result.movements[0].parts[0].staves[0].clef})")


def test_same_score_gives_the_same_page() -> None:
    assert written("C4:1/12 D4:1/6 E4:3/4") == written("C4:1/12 D4:1/6 E4:3/4")
    assert rhythm("C4:2 C4:2") == "2 2"
    assert shown(written("C4:1")) == ["C4:1"]
