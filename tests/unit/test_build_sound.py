"""`cavata build --to wav`: it lasts as long as the score's clock says, and a failed run leaves the old file."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest

from cavata.cli.main import main
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.score.clock import Clock, length

pytestmark = pytest.mark.slow

pytest.importorskip("midirenderer", reason="the extra `audio` is not installed")

LONGEST_RELEASE = 6
SCRIPT = """language 2

motif call = notes(1/4 D5 E5, 1/2 F5)

forces
    flute = flute
    cello = cello

movement first
    tempo 1/4 at 90
    section one 4 bars
        repeated
        tempo at bar 3: broadening to 1/4 at 50 over 1 bar
        flute: call x 4
    section two 2 bars
        cello: call -> down P15, call -> down P15 -> fermata last by 1/2
"""


def seconds(path: Path) -> float:
    with wave.open(str(path)) as file:
        return file.getnframes() / file.getframerate()


def test_repeats_bends_and_fermatas_take_the_time_of_the_clock(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "lantern.cavata"
    script.write_text(SCRIPT, encoding="utf-8")
    score = compile_script(script, str(script)).score
    assert score is not None
    expected = float(length(score.movements[0]))
    assert main(["build", str(script), "--to", "wav,mp3"]) == 0
    assert capsys.readouterr().out.split() == [str(tmp_path / "lantern.mp3"), str(tmp_path / "lantern.wav")]
    assert expected - 0.1 < seconds(tmp_path / "lantern.wav") < expected + LONGEST_RELEASE
    assert (tmp_path / "lantern.mp3").read_bytes()[:2] == b"\xff\xfb"  # the sync word of ISO/IEC 11172-3, layer III


def test_example_lasts_until_its_last_note_has_died_away(tmp_path: Path) -> None:
    """Rests at the end are no part of it."""
    path = folder("examples") / "piano"
    found = next(path.glob("*.cavata"))
    score = compile_script(found, str(found)).score
    assert score is not None
    (movement,) = score.movements
    events = [event for part in movement.staves for staff in part for voice in staff.voices for event in voice]
    music = float(Clock(movement).first(max(event.end for event in events)))
    assert main(["build", str(path), "--to", "wav", "--out", str(tmp_path)]) == 0
    made = tmp_path / f"{found.stem}.wav"
    assert music - 0.2 <= seconds(made) <= music + LONGEST_RELEASE
    with wave.open(str(made)) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
    assert 32000 < np.abs(samples.astype(int)).max() < 32767


def test_failed_run_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    script, old = tmp_path / "lantern.cavata", tmp_path / "lantern.wav"
    script.write_text(SCRIPT, encoding="utf-8")
    old.write_bytes(b"as it was")
    monkeypatch.setenv("CAVATA_SOUNDFONT", str(tmp_path / "none.sf2"))
    assert main(["build", str(script), "--to", "wav"]) == 1
    assert old.read_bytes() == b"as it was"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lantern.cavata", "lantern.wav"]


def test_interrupted_run_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    script, old = tmp_path / "lantern.cavata", tmp_path / "lantern.wav"
    script.write_text(SCRIPT, encoding="utf-8")
    old.write_bytes(b"as it was")

    def interrupted(*_: object) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr("midirenderer.render_wave_from", interrupted)
    assert main(["build", str(script), "--to", "wav", "--fresh"]) == 130
    assert old.read_bytes() == b"as it was"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lantern.cavata", "lantern.wav"]
