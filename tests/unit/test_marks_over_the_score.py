"""What the compiler adds over the score: dashed lines after words of a change, numbers beside letters, letters that
run through. Source: common practice; the elements are those of MusicXML 4.0 (`dashes`).
"""

from __future__ import annotations

from fractions import Fraction as F
from xml.etree import ElementTree

import pytest
from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import written


def page(*rows: str, head: str = "", more: str = "") -> WrittenScore:
    """A movement of two sections of four bars of 4/4, these rows in the first."""
    block = "".join(f"        {row}\n" for row in rows)
    return written(score_from(
        f"language 2\n{head}forces\n    part = violin\nmovement one\n    tempo 1/4 at 60\n"
        f"    section a 4 bars\n{block}        part: notes(1/4 D5) until end\n"
        f"    section b 4 bars\n        part: notes(1/4 D5) until end\n{more}"
    ))  # fmt: skip


def lines(found: WrittenScore) -> list[tuple[int, F, bool]]:
    """Bar, offset and kind of each end of a dashed line."""
    return [(frame.number, offset, begins) for frame in found.movements[0].frames for offset, begins in frame.dashes]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (("tempo at bar 2 beat 3: broadening to 1/4 at 40 over 1/1",), [(2, F(1, 2), True), (3, F(1, 2), False)]),
        # It ends where the next section, with its tempo, begins.
        (("tempo at bar 4: broadening to 1/4 at 40 over 1 bar",), [(4, F(0), True), (5, F(0), False)]),
        # Another change cuts it short.
        (("tempo at bar 1: broadening to 1/4 at 40 over 3 bars",
          "tempo at bar 2: \"accel.\" to 1/4 at 80 over 1 bar"),
         [(1, F(0), True), (2, F(0), False), (2, F(0), True), (3, F(0), False)]),
    ],
)  # fmt: skip
def test_dashed_line_leads_to_where_the_change_ends(rows: tuple[str, ...], expected: list[tuple[int, F, bool]]) -> None:
    found = page(*rows)
    assert lines(found) == expected
    text = lilypond_text(found)
    begins = sum(1 for *_, kind in expected if kind)
    assert text.count("\\=tempo\\startTextSpan") == begins == text.count("\\=tempo\\stopTextSpan")


def test_dashed_line_ends_with_the_last_movement() -> None:
    """Nothing is printed after the end, and the line does not stay open."""
    found = page(more='        tempo at bar 3: "rit." to 1/4 at 40 over 2 bars\n')
    assert lines(found) == [(7, F(0), True), (8, F(1), False)]


def test_musicxml_has_the_line() -> None:
    rows = (
        "tempo at bar 1: broadening to 1/4 at 40 over 3/2",
        "tempo at bar 2 beat 3: pressing on to 1/4 at 60 over 1/2",
    )
    root = ElementTree.fromstring(musicxml_bytes(page(*rows), "one"))
    ends = [(dashes.get("type"), dashes.get("number")) for dashes in root.iter("dashes")]
    assert ends == [("start", "16"), ("stop", "16"), ("start", "16"), ("stop", "16")]
    first = next(direction for direction in root.iter("direction") if direction.find(".//dashes") is not None)
    assert first.findtext("direction-type/words") == "broadening"


def test_letters_have_the_numbers_of_their_bars() -> None:
    """Orchestra librarians ask for marks together with bar numbers (MOLA, Music Preparation Guidelines)."""
    found = page()
    assert [(f.rehearsal, f.number) for f in found.movements[0].frames if f.shows_number] == [("B", 5)]
    assert lilypond_text(found).count("BarNumber.break-visibility = #end-of-line-invisible") == 1


@pytest.mark.parametrize(("row", "letters"), [("", "ABAB"), ("    letters through movements\n", "ABCD")])
def test_letters_run_through_movements_where_that_is_asked_for(row: str, letters: str) -> None:
    second = "movement two\n" + "".join(
        f"    section {name} 1 bars\n        part: notes(1/4 D5) until end\n" for name in "cd"
    )
    found = page(head=f'piece "P"\n{row}', more=second)
    assert "".join(frame.rehearsal for movement in found.movements for frame in movement.frames) == letters


def test_movement_alone_keeps_its_letters() -> None:
    """A movement that is built by itself has the letters that it has in the whole."""
    script = 'language 2\npiece "P"\n    letters through movements\nforces\n    part = violin\n'
    for name in ("one", "two"):
        script += f"movement {name}\n"
        script += "".join(f"    section {section}\n        part: notes(1/1 D5)\n" for section in "ab")
    score = score_from(script)
    assert [movement.letters_before for movement in score.movements] == [0, 2]
