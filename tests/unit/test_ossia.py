"""An ossia on the page, in a part, beside shared staves, in a comparison and in the layout of scripts.

Source of how it stands on the page: common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.compare.comparing import compared
from cavata.compare.text import change_text
from cavata.edition.copies import full_score
from cavata.edition.parts import part_score
from cavata.notate.written import WrittenBar, leaves
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import Score
from cavata.syntax.format import format_script

FORCES = """language 2

forces
    violin   = violin
    clarinet = clarinet
    drum     = snare drum
    piano    = piano
"""
MOVEMENT = """
movement first
    key D major
    section tide 8 bars
"""
USUAL = ("violin: notes(1/4 D5 E5 F#5 G5) for 8 bars", "clarinet at bar 8: notes(1/1 D5)", "piano.right: notes(1/1 D5)")


def compiled(*rows: str, forces: str = FORCES) -> Compiled:
    script = forces + MOVEMENT + "".join(f"        {row}\n" for row in (*USUAL, *rows))
    return compile_script(Path("s.cavata"), "s.cavata", text=script)


def score(*rows: str, forces: str = FORCES) -> Score:
    found = compiled(*rows, forces=forces)
    assert found.score is not None, [message.message for message in found.bag.ordered()]
    return found.score


def bars(copy: Score, part: str) -> tuple[WrittenBar, ...]:
    movement = written(copy).movements[0]
    return next(each for each in movement.parts if each.part.name == part).staves[-1].bars


def pitches(bar: WrittenBar) -> list[str]:
    return [str(leaf.heads[0].pitch) if leaf.heads else "r" for voice in bar.ossia for leaf in leaves(voice)]


def test_it_stands_over_the_bars_in_which_it_has_a_note() -> None:
    found = bars(full_score(score("violin at bar 3 beat 4 ossia: notes(1/4 A5, 1/2 B5)")), "violin")
    assert [bool(bar.ossia) for bar in found] == [False, False, True, True, False, False, False, False]
    assert pitches(found[2])[-1] == "A5" and set(pitches(found[2])[:-1]) == {"r"}


def test_it_is_written_as_its_player_reads_it() -> None:
    """A clarinet in B flat reads a whole tone higher than it sounds."""
    found = bars(full_score(score("clarinet at bar 8 ossia: notes(1/1 A4)")), "clarinet")
    assert pitches(found[7]) == ["B4"]


def test_it_has_the_clef_of_the_staff_below() -> None:
    found = bars(full_score(score("piano.left: notes(1/1 D3)", "piano.left ossia: notes(1/1 D4)")), "piano")
    assert next(leaves(found[0].ossia[0])).clef == "bass"


def test_it_breaks_a_rest_of_several_bars_in_a_part() -> None:
    silent = bars(part_score(score(), 1, cues=False), "clarinet")
    optional = bars(part_score(score("clarinet at bar 4 ossia: notes(1/1 D5)"), 1, cues=False), "clarinet")
    assert [bar.rest_bars for bar in silent if bar.rest_bars] == [7, 1]
    assert [bar.rest_bars for bar in optional if bar.rest_bars] == [3, 1, 3, 1]


def test_players_of_one_staff_have_staves_of_their_own_where_one_has_it() -> None:
    forces = FORCES.replace("clarinet = clarinet", "horn1 = horn\n    horn2 = horn") + "staff horns = horn1, horn2\n"
    rows = ("horn1: notes(1/1 D4)", "horn2: notes(1/1 D4)")
    script = forces + MOVEMENT + "".join(f"        {row}\n" for row in (USUAL[0], USUAL[2], *rows))
    alone = compile_script(Path("s.cavata"), "s.cavata", text=script)
    beside = compile_script(Path("s.cavata"), "s.cavata", text=script + "        horn1 ossia: notes(1/1 F4)\n")
    assert [m.code for m in alone.bag.ordered()] == []
    assert [m.code for m in beside.bag.ordered()] == ["P130"]
    assert beside.score is not None and len(full_score(beside.score).parts) == 5


CHANGES = {
    "a note": ("violin at bar 2 ossia: notes(1/4 A5 G5)", "violin at bar 2 ossia: notes(1/4 A5 B5)",
               ["bar 2 beat 2, violin: G5 is now B5, in the ossia"]),
    "all of it": ("violin bars 1 to 1: marked p",
                  "violin bars 1 to 1: marked p\n" + " " * 8 + "violin at bar 2 ossia: notes(1/4 A5)",
                  ["bar 2 beat 1, violin: A5 is new, in the ossia"]),
    "nothing": ("violin at bar 2 ossia: notes(1/4 A5 G5)", "violin at bar 2 ossia: notes(1/4 A5, 1/4 G5)", []),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_a_comparison_says_that_it_is_in_the_ossia(what: str) -> None:
    old, new, said = CHANGES[what]
    assert [change_text(change) for change in compared(score(old), score(new)).changes] == said


def test_it_must_be_playable_together_with_nothing_but_itself() -> None:
    found = compiled("violin at bar 2 ossia: notes(1/1 A5)", "violin at bar 2 beat 3 ossia: notes(1/2 B5)")
    assert [(m.code, m.message) for m in found.bag.ordered()] == [
        ("P102", "two lines of the ossia of `violin` sound at once in bar 2"),
    ]


def test_its_row_is_laid_out_as_others() -> None:
    row = "        violin   at bar 2  ossia :notes(1/4 A5)\n"
    laid = format_script(FORCES + MOVEMENT + "        violin: notes(1/1 D5)\n" + row).text
    assert "        violin at bar 2 ossia: notes(1/4 A5)\n" in laid
    assert format_script(laid).text == laid
