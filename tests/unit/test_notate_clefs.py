"""Where clefs begin and change. Source: common practice for the lines; the threshold is the project's own."""

from __future__ import annotations

from fractions import Fraction

import pytest
from notate_scores import bars_for, events, instrument, meter, movement, score, shown, written

from cavata.notate.clefs import bottom_line, ledger_lines
from cavata.notate.notate import notate
from cavata.score.score import Staff, Tempo


@pytest.mark.parametrize(
    ("clef", "line"), [("treble", 30), ("alto", 24), ("tenor", 22), ("bass", 18), ("treble_8", 23)]
)  # fmt: skip
def test_bottom_lines(clef: str, line: int) -> None:
    """E4, F3, D3, G2 and E3. Source: common practice."""
    assert bottom_line(clef) == line


def test_ledger_lines_are_counted_above_and_below() -> None:
    assert [ledger_lines("treble", place, place) for place in (28, 29, 38, 39, 40, 42)] == [1, 0, 0, 0, 1, 2]


def line(*runs: tuple[str, int]) -> str:
    return " ".join(f"{pitch}:4" for pitch, count in runs for _ in range(count))


def test_high_stretch_of_a_bassoon_is_in_the_tenor_clef() -> None:
    bars = shown(written(line(("C3", 8), ("A4", 12), ("C3", 12)), player="bassoon"))
    assert [bar.split(" ")[0] for bar in bars if "(" in bar] == ["(tenor)", "(bass)"]
    assert bars[2].startswith("(tenor)") and bars[5].startswith("(bass)")


def long(*runs: tuple[str, int, str]) -> str:
    return " ".join(f"{pitch}:{length}" for pitch, count, length in runs for _ in range(count))


@pytest.mark.parametrize("player", ["bassoon", "cello", "trombone"])
@pytest.mark.parametrize("pitch", ["G4", "B4"])
@pytest.mark.parametrize("length", ["1", "2"])
def test_four_long_high_notes_leave_the_bass_clef(player: str, pitch: str, length: str) -> None:
    """Three ledger lines and four, in whole notes and in half notes. Source: common practice."""
    result = written(long(("C3", 8, "2"), (pitch, 4, length), ("C3", 8, "2")), player=player)
    changes = [bar.split(" ")[0] for bar in shown(result) if "(" in bar]
    # What has four ledger lines in the bass clef still has two in the tenor clef: who reads a higher one may have that.
    higher = {"cello": "(treble)", "trombone": "(alto)"}.get(player, "(tenor)")
    assert changes == [higher if pitch == "B4" else "(tenor)", "(bass)"]
    result = written(long(("C3", 8, "2"), (pitch, 3, length), ("C3", 9, "2")), player=player)
    assert not any("(" in bar for bar in shown(result))


def test_a_few_high_notes_keep_the_clef() -> None:
    assert not any("(" in bar for bar in shown(written(line(("C3", 8), ("A4", 3), ("C3", 13)), player="bassoon")))


def test_a_high_beginning_begins_in_the_clef_it_needs() -> None:
    result = written(line(("C5", 16), ("C3", 12)), player="cello")
    assert result.movements[0].parts[0].staves[0].clef in ("tenor", "treble")


def test_change_after_a_rest_stands_before_the_note() -> None:
    bars = shown(written(line(("C3", 9)) + " r:4 " + line(("C5", 14), ("C3", 8)), player="bassoon"))
    assert bars[2].startswith("C3:4 r:4 (tenor) C5:4")


def test_staff_of_two_voices_changes_its_clef_at_a_bar_line_only() -> None:
    """A rest is room enough where one voice reads the clef alone; two voices meet at the bar line."""
    upper = line(("C3", 9)) + " r:4 " + line(("C5", 14), ("C3", 8))
    lower = line(("C3", 9)) + " r:4 A4:2 A4:3/1 " + line(("C3", 8))
    bars = shown(written(upper, lower, player="bassoon"))
    assert [(place, bar.index("(")) for place, bar in enumerate(bars) if "(" in bar] == [(2, 0), (6, 0)]


def test_clefs_do_not_flicker() -> None:
    bars = shown(written(line(*(("C3", 2), ("A4", 2)) * 12), player="bassoon"))
    assert sum(bar.count("(") for bar in bars) == 0


def test_staves_of_a_harp_begin_each_in_its_own_clef() -> None:
    """The moments for the feet are reckoned in seconds, so the movement has a tempo, as every one that is placed."""
    harp, tempo = instrument("harp"), Tempo(Fraction(0), Fraction(1, 4), Fraction(60))
    staves = [Staff("right", (events(line(("C5", 8))),)), Staff("left", (events(line(("C3", 8))),))]
    bars = bars_for(events("C4:2/1")[0].end, [meter("4/4")], [None])
    result = notate(score([movement([staves], bars, [tempo])], [harp]))
    assert [staff.clef for staff in result.movements[0].parts[0].staves] == ["treble", "bass"]


def test_unpitched_part_has_the_percussion_clef() -> None:
    assert written("C4:1", player="side drum").movements[0].parts[0].staves[0].clef == "percussion"


def test_one_high_note_alone_does_not_open_in_another_clef() -> None:
    """Three ledger lines once are read more easily than a clef for one note."""
    for player in ("cello", "bassoon"):
        alone = written(line(("A4", 1)), player=player)
        assert alone.movements[0].parts[0].staves[0].clef == "bass"
