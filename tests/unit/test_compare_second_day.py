"""What a commissioner asks on the second day is told as one change each: a tone lower, shorter, for another player.

Expected words are by common practice; lengths by arithmetic.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.cli.compare_sides import comparison_of
from cavata.cli.main import main
from cavata.compare.comparing import compared
from cavata.compare.text import change_text
from cavata.pipeline import compile_script

PIECE = """\
language 2

piece "Tide"

forces
    solo  = violin, soloist
    horn  = horn in F
    drum  = snare drum

motif tune = notes(1/4 D4 E4 F4 G4)

movement first{heading}
    key   D minor
    tempo 1/4 at 100
    section calling 4 bars
        solo: tune x 4
        drum: (1/4 1/4) until end
        tempo at bar 3: 1/4 at 60
    section answering
        key F major
        horn: tune, notes(1/1 F4)
        solo at bar 2: notes(1/1 A4)
movement second
    tempo 1/4 at 80
    horn: tune
"""


def told(script: str, other: str = "", version: str = "") -> list[str]:
    """What changed from the piece to a script, or to a version of it."""
    old = compile_script(Path("tide.cavata"), text=PIECE.format(heading="") + other)
    new = compile_script(Path("tide.cavata"), text=script + other, version=version)
    assert old.score is not None and new.score is not None, [m.message for m in new.bag.ordered()]
    return [f"{change.movement} {change_text(change)}".strip() for change in compared(old.score, new.score).changes]


def test_a_movement_a_tone_lower_is_one_change() -> None:
    lower = ["first bars 1 to 6: everything a major second lower, keys too"]
    assert told(PIECE.format(heading=" -> down M2")) == lower
    by_hand = PIECE.format(heading="").replace("key   D minor", "key C minor").replace("key F major", "key Eb major")
    by_hand = by_hand.replace("D4 E4 F4 G4", "C4 D4 Eb4 F4").replace("1/1 F4", "1/1 Eb4").replace("1/1 A4", "1/1 G4")
    by_hand = by_hand.replace("    horn: tune\n", "    horn: tune -> up M2\n")
    assert told(by_hand) == lower


def test_another_key_than_the_notes_say_is_a_change_of_its_own() -> None:
    by_hand = PIECE.format(heading=" -> down M2").replace("key F major", "key C major")
    assert len(told(by_hand)) == 3


def test_a_part_that_is_moved_everywhere_is_one_change() -> None:
    version = "version v\n    solo -> down P8\n"
    assert told(PIECE.format(heading=""), version, "v") == ["first bars 1 to 6, solo: an octave lower"]


def test_tempi_times_one_ratio_are_one_change() -> None:
    faster = PIECE.format(heading="").replace("at 100", "at 125").replace("at 60", "at 75")
    assert told(faster) == ["first bars 1 to 6: all 3 tempi 5:4 times as fast"]
    rounded = PIECE.format(heading="").replace("at 100", "at 114").replace("at 60", "at 68")
    assert told(rounded) == ["first bars 1 to 6: all 3 tempi about 1.14 times as fast"]


@pytest.mark.parametrize(("first", "second"), [(125, 80), (125, 60), (100, 75)])
def test_tempi_by_different_ratios_are_told_by_their_numbers(first: int, second: int) -> None:
    other = PIECE.format(heading="").replace("at 100", f"at {first}").replace("at 60", f"at {second}")
    changes = told(other)
    assert len(changes) == (first != 100) + (second != 60)
    assert all("instead of" in change for change in changes)


def test_a_version_for_another_player_is_told_by_what_it_is() -> None:
    version = "version cello\n    solo = cello, soloist\n    solo -> down P8\n"
    assert told(PIECE.format(heading=""), version, "cello") == [
        "solo is played by cello instead of violin", "first bars 1 to 6, solo: an octave lower",
    ]  # fmt: skip


def test_a_part_that_is_called_otherwise_is_one_change() -> None:
    other = PIECE.format(heading="").replace("horn", "corno").replace("corno in F", "horn in F")
    assert told(other) == ["horn is called corno"]


def test_a_version_that_is_new_gone_or_otherwise_is_one_change() -> None:
    texts = ["", "version v\n    solo -> down P8\n", "version v\n    solo -> down P15  -- lower\n"]
    made = [compile_script(Path("tide.cavata"), text=PIECE.format(heading="") + text) for text in texts]

    def said(old: int, new: int) -> list[str]:
        found = comparison_of(made[old], made[new], "tide")
        assert found is not None
        return [change.said for change in found.changes]

    assert said(0, 1) == ["version v is new"]
    assert said(1, 0) == ["version v is gone"]
    assert said(1, 2) == ["version v has other rows"]
    assert said(1, 1) == []


def test_the_command_compares_the_piece_with_a_version_and_versions_with_each_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "tide.cavata"
    rows = "version low\n    piece -> down M2\nversion high\n    piece -> up m2\n"
    script.write_text(PIECE.format(heading="") + rows, "utf-8")
    said = []
    for options in (["--for", "low"], ["--for", "low", "--for", "high"], ["--for", "high", "--for", "high"]):
        assert main(["compare", str(script), *options]) == 0
        said.append(capsys.readouterr().out)
    assert "everything a major second lower, keys too" in said[0]
    assert "everything a minor third higher, keys too" in said[1]
    assert not any("version" in text for text in said)
    assert said[2] == "Tide: the music is the same\n"
    assert main(["compare", str(script), "--for", "low", "--for", "low", "--for", "low"]) == 1
    assert "O426" in capsys.readouterr().err
    assert main(["compare", str(script), "--for", "lower"]) == 1
    assert "O881" in capsys.readouterr().err


def test_two_scripts_are_compared_in_a_version_of_both(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, interval in (("old", "M2"), ("new", "m3")):
        rows = f"version low\n    piece -> down {interval}\n"
        (tmp_path / f"{name}.cavata").write_text(PIECE.format(heading="") + rows, "utf-8")
    old, new = str(tmp_path / "old.cavata"), str(tmp_path / "new.cavata")
    assert main(["compare", old, new]) == 0
    assert "version low has other rows" in capsys.readouterr().out
    assert main(["compare", old, new, "--for", "low"]) == 0
    assert "everything a minor second lower, keys too" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("row", "words"),
    [("4 min", "4 min instead of 7 min"), ("6 min 30 s to 7 min 30 s", "6 min 30 s to 7 min 30 s instead of 7 min")],
)
def test_the_length_asked_for_is_one_change(row: str, words: str) -> None:
    """Two fields of the score are one row of the script; with the tempi that keep it the page is another."""
    piece = PIECE.format(heading="").replace('piece "Tide"', 'piece "Tide"\n    length 7 min')
    version = f"version other\n    tempi x 2\n    length {row}\n"
    old, new = (compile_script(Path("t.cavata"), text=piece + version, version=v).score for v in ("", "other"))
    assert old is not None and new is not None
    assert change_text(compared(old, new).changes[0]) == f"length asked for: {words}"


def test_a_tempo_at_the_beginning_of_free_time_is_told_without_a_fraction() -> None:
    free = "cadenza alone\n    tempo 1/4 at {}\n    solo: tune\n"
    scripts = (PIECE.format(heading="") + free.format(number) for number in (60, 72))
    old, new = (compile_script(Path("t.cavata"), text=script).score for script in scripts)
    assert old is not None and new is not None
    (change,) = compared(old, new).changes
    assert change_text(change) == "bar 1 at its beginning: tempo 1/4 at 72 instead of 1/4 at 60"
