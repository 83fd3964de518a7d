"""Timings. Source of every length: arithmetic, written beside it; and the MIDI file as mido reads it."""

from __future__ import annotations

import io
import json
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from rounds import everyday

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.score.clock import Clock, clock_text, paces, played_stretches
from cavata.score.score import Movement, Score
from cavata.sound.midi import midi_bytes
from cavata.tell.timings import FERMATAS, FREE_TIME, NO_TEMPO, TimeTaken, Timings, timings, timings_text

HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
motif tune = notes(1/4 D4 E4, 1/2 F4)
forces
    violin = violin
"""
EXAMPLES = sorted(folder("examples").glob("*/*.cavata"))
PIECES = everyday(path for path in EXAMPLES if path.stem == path.parent.name)


def scored(text: str, tmp_path: Path) -> Score:
    path = tmp_path / "piece.cavata"
    path.write_text(HEAD + text, "utf-8")
    compiled = compile_script(path)
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    return compiled.score


def timed(text: str, tmp_path: Path) -> Timings:
    return timings(scored(text, tmp_path))


# ------------------------------------------------------------------ arithmetic


def test_length_of_bars_at_a_tempo(tmp_path: Path) -> None:
    """Three bars of 4/4 at 96 quarters a minute: 12 beats of 60/96 s."""
    found = timed("movement first\n    tempo 1/4 at 96\n    violin: tune x 3\n", tmp_path)
    assert found.taken.seconds == Fraction(12 * 60, 96) and found.taken.is_given


def test_each_section_has_its_own_length(tmp_path: Path) -> None:
    """2 bars at 60: 8 s; then 4 bars of 6/8 at a dotted quarter of 45, eight beats of 4/3 s."""
    found = timed(
        "movement first\n    tempo 1/4 at 60\n    section one 2 bars\n        violin: tune\n"
        "    section two 4 bars\n        meter 6/8\n        tempo 1/4. at 45\n        violin: tune\n", tmp_path,
    )  # fmt: skip
    one, two = found.movements[0].sections
    assert (one.taken.seconds, two.taken.seconds) == (8, Fraction(8 * 4, 3))
    assert (one.begins, two.begins) == (0, 8)
    assert (two.first_bar, two.last_bar) == (3, 6)
    assert found.taken.seconds == one.taken.seconds + two.taken.seconds


def test_upbeat_that_is_played_again_counts_for_its_own_section(tmp_path: Path) -> None:
    """At 60: 2 bars, 8 s; then 2 bars without their last beat, 7 s, and with the upbeat and that beat, 9 s; 2 bars the
    same way, of which the first time begins on the bar line; 4 s. Each section begins where the one before ends.
    """
    found = timed(
        "motif verse = notes(1/4 A4 | 1/4 D4 E4 F4 G4 | 1/2. A4)\nmovement first\n    tempo 1/4 at 60\n"
        "    section before 2 bars\n        violin: notes(1/1 D4, 1/2. D4)\n"
        "    section song\n        repeated\n        violin: verse\n"
        "    section other\n        repeated\n        violin: verse\n"
        "    section close 1 bar\n        violin: notes(1/1 D4)\n", tmp_path,
    )  # fmt: skip
    lengths = [section.taken.seconds for section in found.movements[0].sections]
    assert lengths == [8, 7 + 1 + 8, 7 + 1 + 8, 4]
    assert [section.begins for section in found.movements[0].sections] == [0, 8, 24, 40]
    assert found.taken.seconds == sum(lengths)


def test_bend_takes_the_mean_of_its_first_and_last_beat(tmp_path: Path) -> None:
    """4 quarters at 1 s, 4 that go from 1 s to 2 s and so take 6 s, 4 at 2 s."""
    found = timed(
        "movement first\n    tempo 1/4 at 60\n    tempo at bar 2: broadening to 1/4 at 30 over 1 bar\n"
        "    violin: tune x 3\n", tmp_path,
    )  # fmt: skip
    assert found.taken.seconds == 4 + 6 + 8 and found.taken.is_given


def test_repeat_counts_as_often_as_it_is_played(tmp_path: Path) -> None:
    """Three times 4 s, and 4 s after it."""
    found = timed(
        "movement first\n    tempo 1/4 at 60\n    section one 1 bar\n        repeated 3 times\n        violin: tune\n"
        "    section two 1 bar\n        violin: tune\n", tmp_path,
    )  # fmt: skip
    one, two = found.movements[0].sections
    assert (one.taken.seconds, two.taken.seconds, two.begins) == (12, 4, 12)


def test_what_a_fermata_adds_is_an_estimate(tmp_path: Path) -> None:
    """A bar of 4 s, its last note held a half note longer: 2 s more, which the player decides."""
    found = timed("movement first\n    tempo 1/4 at 60\n    violin: tune -> fermata last by 1/2\n", tmp_path)
    assert found.taken.seconds == 6 and found.taken.estimated == ((FERMATAS, 2),)


def test_free_time_is_an_estimate(tmp_path: Path) -> None:
    """Four quarters at 30: 8 s; the bar before them is given."""
    found = timed(
        "movement first\n    tempo 1/4 at 60\n    violin: tune\ncadenza alone\n    tempo 1/4 at 30\n    violin: tune\n",
        tmp_path,
    )
    first, alone = found.movements
    assert first.taken.is_given and alone.taken.estimated == ((FREE_TIME, 8),)
    assert found.taken.seconds == 12 and found.taken.uncertain == 8 and alone.begins == 4


def test_music_without_a_tempo_is_an_estimate_until_one_is_given(tmp_path: Path) -> None:
    """Words alone say no speed: a bar at the assumed quarter of 60, then one at 120."""
    found = timed(
        "movement first\n    tempo \"Gently\"\n    violin: tune\nmovement second\n"
        "    tempo 1/4 at 120\n    violin: tune\n"
        "movement third\n    violin: tune\n", tmp_path,
    )  # fmt: skip
    assert [m.taken.seconds for m in found.movements] == [4, 2, 2]
    assert [m.taken.estimated for m in found.movements] == [((NO_TEMPO, 4),), (), ()]


def test_fermata_without_a_time_is_told_and_makes_the_last_quarter_twice_as_long(tmp_path: Path) -> None:
    found = timed("movement first\n    tempo 1/4 at 60\n    violin: tune -> fermata last\n", tmp_path)
    assert found.taken == TimeTaken(Fraction(5), ((FERMATAS, Fraction(1)),)) and found.movements[0].signs == 1
    assert "1 fermata without a time" in timings_text(found)


@pytest.mark.parametrize(
    ("asked", "verdict"),
    [
        ("1 min to 2 min", "within"), ("2 min to 3 min", "too short"), ("30 s to 45 s", "too long"),
        ("62 s", "within"), ("70 s", "too short"), ("40 s", "too long"),
    ],
)  # fmt: skip
def test_length_is_held_against_what_was_asked_for(asked: str, verdict: str, tmp_path: Path) -> None:
    """Fifteen bars of 4 s are a minute; a single length may be missed by a twentieth, as the reference says."""
    found = timed(
        f'piece "Watch"\n    length {asked}\nmovement first\n    tempo 1/4 at 60\n    violin: tune x 15\n', tmp_path
    )
    assert found.verdict == verdict and f": {verdict}." in timings_text(found)


def test_clock_is_written_with_hours_where_there_are_any() -> None:
    assert [clock_text(Fraction(s)) for s in (0, 61, 3599, 3600, 3725)] == [
        "0:00",
        "1:01",
        "59:59",
        "1:00:00",
        "1:02:05",
    ]


# ------------------------------------------------------------------ the MIDI file


def _one_movement(score: Score, number: int) -> Score:
    from dataclasses import replace

    return replace(score, movements=(score.movements[number],))


@pytest.mark.slow
@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.stem)
def test_length_of_each_movement_is_that_of_its_midi_file(path: Path) -> None:
    """Source: mido, `MidiFile.length`. A tempo event holds whole microseconds a quarter, hence the margin."""
    score = compile_script(path).score
    assert score is not None
    for number, movement in enumerate(score.movements):
        file = mido.MidiFile(file=io.BytesIO(midi_bytes(_one_movement(score, number))))
        assert file.length == pytest.approx(float(Clock(movement).length), abs=0.02), movement.name


def _added(movement: Movement, onset: Fraction, end: Fraction) -> Fraction:
    inside = (pace for pace in paces(movement) if pace.onset < end and pace.end > onset)
    return sum((pace.part(max(onset, pace.onset), min(end, pace.end)).seconds for pace in inside), Fraction(0))


def _heard(movement: Movement, onset: Fraction) -> Fraction:
    now = Fraction(0)
    for begin, end in played_stretches(movement):
        if begin <= onset < end:
            return now + _added(movement, begin, onset)
        now += _added(movement, begin, end)
    return now


@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.stem)
def test_clock_adds_every_pace_up_to_a_place(path: Path) -> None:
    """Source: plain addition of every pace on the way, without sums made beforehand."""
    score = compile_script(path).score
    assert score is not None
    for movement in score.movements:
        clock = Clock(movement)
        assert clock.length == sum(_added(movement, *stretch) for stretch in played_stretches(movement))
        for bar in movement.bars[::7]:
            assert clock.first(bar.onset) == _heard(movement, bar.onset)


# ------------------------------------------------------------------ the command


def test_command_says_everything_as_a_document(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["timings", str(folder("examples") / "three-watches"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["seconds"] == pytest.approx(sum(m["seconds"] for m in told["movements"]))
    assert told["asked"]["verdict"] == "within"
    alone = next(m for m in told["movements"] if m["name"] == "alone")
    assert alone["estimated_seconds"] == {"free time": pytest.approx(alone["seconds"])}
    assert Fraction(told["exact_seconds"]) == sum(Fraction(m["exact_seconds"]) for m in told["movements"])


def test_command_prints_its_rules(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["timings", str(folder("examples") / "the-long-night")]) == 0
    said = capsys.readouterr().out
    assert "both are estimates" in said and "as a guide" in said and "estimated: free time" in said


def test_a_piece_that_is_longer_than_it_promises_is_timed_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Twelve quarters at 60 a minute: 12 s. The promise is an error below the table, and the exit status 1."""
    path = tmp_path / "piece.cavata"
    row = "movement first\n    tempo 1/4 at 60\n    violin: tune x 3\nrequire\n    length of piece 5 s\n"
    path.write_text(HEAD + row, "utf-8")
    assert main(["timings", str(path)]) == 1
    said = capsys.readouterr()
    assert "0:12" in said.out and "R104" in said.err
