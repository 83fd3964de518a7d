"""Sound to practice with, as the MIDI file from which it is made: read by mido.

Woodblocks are keys 76 and 77 of the percussion of General MIDI Level 1, control 10 the place, channel 10 (9 counted
from 0) percussion; volumes by R. B. Dannenberg's square law (2006).
"""

from __future__ import annotations

from fractions import Fraction as F
from io import BytesIO
from pathlib import Path

import mido
import pytest
from compiling import score_from

from cavata.cli.main import main
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes
from cavata.sound.practice import practice_bytes, practice_stretches

SCRIPT = """language 2
forces
    flute = flute
    cello = cello
movement first
    tempo 1/4 at 120
    section one
        flute: notes(1/4 C5 D5 E5 F5 | 1/1 G5)
        cello: notes(2/1 C3)
    section two
        tempo 1/4 at 60
        flute: notes(1/4 A5 B5 C6 D6)
        cello: notes(1/1 D3)
"""


def practiced(score: Score, part: int, section: str = "", slower: F = F(1)) -> mido.MidiFile:
    made = practice_bytes(midi_bytes(score, apart=True), part, practice_stretches(score, section), slower)
    return mido.MidiFile(file=BytesIO(made), charset="utf-8")


def strikes(file: mido.MidiFile, track: int) -> list[tuple[F, int, int]]:
    """Moment in quarters, key and velocity of each note."""
    now, found = 0, []
    for message in file.tracks[track]:
        now += message.time
        if message.type == "note_on":
            found.append((F(now, file.ticks_per_beat), message.note, message.velocity))
    return found


def test_a_bar_is_counted_before_the_first_note() -> None:
    file = practiced(score_from(SCRIPT), 0)
    assert [(at, key) for at, key, _ in strikes(file, 3)] == [(0, 76), (1, 77), (2, 77), (3, 77)]
    assert [(at, key) for at, key, _ in strikes(file, 1)][:5] == [(4, 72), (5, 74), (6, 76), (7, 77), (8, 79)]
    assert file.length == pytest.approx(2 + 4 + 4, abs=0.01)
    assert {m.channel for m in file.tracks[3] if m.type == "note_on"} == {9}


def test_before_an_upbeat_the_beats_up_to_it_are_counted_too() -> None:
    file = practiced(score_from(SCRIPT.replace("section one", "pickup 1/4\n    section one").replace(
        "C5 D5 E5 F5 | 1/1 G5", "G4 | C5 D5 E5 F5").replace("notes(2/1 C3)", "notes(1/4 rest, 1/1 C3)")
    ), 0)  # fmt: skip
    assert [(at, key) for at, key, _ in strikes(file, 3)] == [
        (0, 76), (1, 77), (2, 77), (3, 77), (4, 76), (5, 77), (6, 77),
    ]  # fmt: skip
    assert strikes(file, 1)[0][:2] == (7, 67)


def test_the_part_is_in_front_and_in_the_middle() -> None:
    whole = mido.MidiFile(file=BytesIO(midi_bytes(score_from(SCRIPT), apart=True)))
    file = practiced(score_from(SCRIPT), 1)
    assert [velocity for _, _, velocity in strikes(file, 2)] == [velocity for _, _, velocity in strikes(whole, 2)]
    for (_, _, behind), (_, _, before) in zip(strikes(file, 1), strikes(whole, 1), strict=True):
        assert 0.5 < behind / before < 0.6  # 10 dB: a factor of 0.56
    assert [m.value for m in file.tracks[2] if m.type == "control_change" and m.control == 10] == [64]


def test_a_section_alone_begins_as_the_whole_is_there() -> None:
    file = practiced(score_from(SCRIPT), 0, "two")
    assert [key for _, key, _ in strikes(file, 1)] == [81, 83, 84, 86] and [k for _, k, _ in strikes(file, 2)] == [50]
    assert strikes(file, 1)[0][0] == 4
    assert file.length == pytest.approx(4 + 4, abs=0.05)  # its own tempo from the counting on
    assert any(m.type == "program_change" and m.program == 73 for m in file.tracks[1])


def test_slower_is_slower_by_that_factor() -> None:
    assert practiced(score_from(SCRIPT), 0, "", F(4, 3)).length == pytest.approx(10 * 4 / 3, abs=0.01)


def test_a_note_that_a_player_begins_early_belongs_to_its_section() -> None:
    from cavata.perform.perform import perform

    for name in ("one", "two"):
        score = score_from(SCRIPT)
        made = practice_bytes(midi_bytes(score, perform(score), apart=True), 0, practice_stretches(score, name))
        file = mido.MidiFile(file=BytesIO(made))
        assert [len(strikes(file, track)) for track in (1, 2)] == ([5, 1] if name == "one" else [4, 1])
        for track in file.tracks:  # every note ends
            on = [m.note for m in track if m.type == "note_on"]
            assert sorted(on) == sorted(m.note for m in track if m.type == "note_off")


def test_command_writes_what_is_to_be_practiced_only(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script = tmp_path / "lantern.cavata"
    script.write_text(SCRIPT, "utf-8")
    command = ["build", str(script), "--practice", "cello", "--to", "midi"]
    assert main([*command, "--section", "two", "--slower", "1.5"]) == 0
    assert capsys.readouterr().out.split() == [str(tmp_path / "lantern-practice-cello-two.mid")]
    assert main([*command[:3], "horn"]) == 1 and "O121" in capsys.readouterr().err
    assert main(["build", str(script), "--slower", "2"]) == 2 and "O100" in capsys.readouterr().err
    for factor in ("0.5", "1e999999999", "1/0"):
        assert main([*command, "--slower", factor]) == 2
