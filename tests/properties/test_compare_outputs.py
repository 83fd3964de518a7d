"""What is told of two versions and what is handed out of them: something is told just where a file is another.

`CAVATA_EDITS=2000 pytest tests/properties/test_compare_outputs.py` tries so many edits instead of ten.
"""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path

import pytest
from edited_rows import SCRIPT, first_difference, score_of, script_edited

from cavata.cli.main import main
from cavata.compare.changes import ChangeKind
from cavata.compare.comparing import compared
from cavata.compare.marked import marked_score
from cavata.compare.text import SAME, comparison_text
from cavata.pipeline import written
from cavata.score.clock import Clock

EDITS = int(os.environ.get("CAVATA_EDITS", "10"))


@pytest.mark.slow
@pytest.mark.parametrize("number", range(EDITS))
def test_something_is_told_just_where_a_file_is_another(number: int) -> None:
    """MIDI, MusicXML and the engraver's text of score and parts, by their bytes; ids left out. What does not compile
    is compared by nobody."""
    before, after, row = script_edited(number)
    old, new = score_of(before), score_of(after)
    if old is None or new is None or not old.movements or not new.movements:
        return
    other = first_difference(before, after)
    if other is None:
        return
    comparison = compared(old, new)
    assert bool(comparison.changes) == bool(other), (row, other, comparison_text(comparison))
    assert (SAME in comparison_text(comparison)) == (not other)
    if other:
        written(marked_score(new, comparison, "before"))


def told(old: str, new: str) -> list[str]:
    scores = score_of(old), score_of(new)
    assert scores[0] is not None and scores[1] is not None
    return [line.strip() for line in comparison_text(compared(scores[0], scores[1])).splitlines()[1:]]


def test_the_script_that_is_edited_is_the_same_as_itself() -> None:
    score = score_of(SCRIPT)
    assert score is not None and compared(score, score).same and not compared(score, score).in_script


PICKUP = """\
language 2
forces
    violin = violin
    cello = cello
movement first
    meter 4/4
{}    violin: notes(1/4 D4 E4 F4 G4 A4 B4 C5 D5)
    cello at bar 2: notes(1/2 D3 E3)
"""


def test_another_pick_up_is_told_with_what_it_moved() -> None:
    """By hand: the violin begins with the movement, so each of its notes falls a quarter earlier in its bar once a
    quarter leads to the first bar line, and it falls a quarter later where an eighth more led there; the cello begins
    at a bar line and stays."""
    none, quarter, half = (PICKUP.format(row) for row in ("", "    pickup 1/4\n", "    pickup 1/2\n"))
    assert told(none, quarter) == [
        "first", "bar 0: a pickup of 1/4 is new", "bars 0 to 2, violin: 1/4 earlier",
    ]  # fmt: skip
    assert told(quarter, none) == [
        "first", "bar 1: the pickup of 1/4 is gone", "bars 1 to 2, violin: 1/4 later",
    ]  # fmt: skip
    assert told(half, quarter) == [
        "first", "bar 0: a pickup of 1/4 instead of 1/2", "bars 0 to 2, violin: 1/4 later",
    ]  # fmt: skip


BEND = """\
language 2
piece "Bend"
{language}forces
    violin = violin
movement first
    tempo 1/4 at 120
    tempo at bar 2: broadening to 1/4 at {goal} over 2 bars
    violin: notes(1/1 D4 E4 {pitch}4 G4 A4)
"""


@pytest.mark.parametrize(("named", "word"), [("English", "broadening"), ("Italian", "allargando")])
def test_another_bend_of_the_tempo_can_be_marked(
    named: str, word: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, goal in (("old", 60), ("new", 40)):
        text = BEND.format(goal=goal, pitch="F", language=f"    names in {named}\n")
        (tmp_path / f"{name}.cavata").write_text(text, "utf-8")
    paths = [str(tmp_path / f"{name}.cavata") for name in ("old", "new")]
    assert main(["compare", *paths, "--to", "ly"]) == 0
    assert "leading to 1/4 at 40" in capsys.readouterr().out
    marked = (tmp_path / "new-changes.ly").read_text("utf-8")
    assert f"{word} [tempo" in marked


def test_words_of_a_change_within_a_bend_leave_the_speed_as_it_is() -> None:
    """A word over bar 3, in the middle of a change of tempo, is only printed: the marked score takes as long."""
    script = BEND.format(goal=60, pitch="F", language="")
    over = score_of(script.replace("    violin: ", "    key at bar 3: E major\n    violin: "))
    old = score_of(script)
    assert old is not None and over is not None
    comparison = compared(old, over)
    assert [change.kind for change in comparison.changes] == [ChangeKind.KEY]
    marked = marked_score(over, comparison, "before")
    assert any("E major" in tempo.words for tempo in marked.movements[0].tempi)
    lengths = [
        [Clock(score.movements[0]).first(Fraction(bar)) for bar in range(6)] for score in (over, marked)
    ]  # fmt: skip
    assert lengths[0] == lengths[1]


SOLO = """\
language 2
forces
    flute = flute
    {name} = {instrument}
movement first
    flute: notes(1/4 D5 E5 F5 G5 A5 G5 F5 E5)
    {name}: notes(1/4 D4 A4, 1/8 F4 E4, 1/4 D4, 1/2 G4, 1/4 C5 Bb4){step}
"""


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (("solo", "cello", ""), ["solo is played by cello instead of viola"]),
        (("solo", "clarinet", ""), ["solo is played by clarinet instead of viola"]),
        (("second", "viola", ""), ["solo is called second"]),
        (("second", "cello", ""), ["solo is called second and played by cello instead of viola"]),
        (("second", "horn", ""), ["solo is called second and played by horn instead of viola"]),
        (("second", "cello", " -> down P8"),
         ["solo is called second and played by cello instead of viola", "first",
          "bars 1 to 2, second: an octave lower"]),
        (("second", "clarinet in A", " -> down m3"),
         ["solo is called second and played by clarinet in A instead of viola", "first",
          "bars 1 to 2, second: a minor third lower"]),
    ],
)  # fmt: skip
def test_a_part_with_another_name_or_instrument_is_itself(new: tuple[str, str, str], said: list[str]) -> None:
    """One change; and its notes are those that it had, as they sound."""
    name, instrument, step = new
    old = SOLO.format(name="solo", instrument="viola", step="")
    assert told(old, SOLO.format(name=name, instrument=instrument, step=step)) == said


@pytest.mark.slow
def test_a_shared_staff_that_is_printed_otherwise_is_told() -> None:
    assert told(SCRIPT, SCRIPT.replace('"Horns" short', '"Corni" short')) == [
        'horns is one staff for horn1, horn2, printed "Corni" ("Hns.") instead of one staff for horn1, horn2, '
        'printed "Horns" ("Hns.")'
    ]
