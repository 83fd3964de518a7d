"""The options of a build that change how its copies look, whatever the script says."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.cli.main import main

SCRIPT = """\
language 2

piece "Lantern"
    concert score
    paper A4

use french from ciphers
name ada = "ADA" by french

forces
    clarinet = clarinet

movement first
    clarinet: ada
"""


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one script in it."""
    (tmp_path / "lantern.cavata").write_text(SCRIPT, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def built(desk: Path, name: str, *options: str) -> str:
    """The LilyPond text of a build."""
    assert main(["build", "lantern.cavata", "--to", "ly", *options]) == 0
    return (desk / name).read_text("utf-8")


def test_pitch_of_the_score_is_chosen_for_one_build(desk: Path) -> None:
    """A clarinet in B flat reads a tone higher than it sounds. Source: common practice."""
    assert "a'4" in built(desk, "lantern.ly") and "a'4" in built(desk, "lantern.ly", "--concert")
    transposed = built(desk, "lantern.ly", "--transposed")
    assert "b'4" in transposed and "a'4" not in transposed


def test_paper_is_chosen_for_one_build(desk: Path) -> None:
    assert "paper-width = 210\\mm" in built(desk, "lantern.ly")
    assert "paper-width = 420\\mm" in built(desk, "lantern.ly", "--paper", "A3 landscape")


def test_unknown_paper_and_two_pitches_are_misuse(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "lantern.cavata", "--paper", "A44"]) == 2
    assert "there is no paper `A44`" in capsys.readouterr().err
    assert main(["build", "lantern.cavata", "--concert", "--transposed"]) == 2


def test_proof_copy_has_a_name_of_its_own_and_leaves_the_fair_copy(desk: Path) -> None:
    fair = built(desk, "lantern.ly")
    proof = built(desk, "lantern-proof.ly", "--proof")
    assert (desk / "lantern.ly").read_text("utf-8") == fair
    for sign in ("all-bar-numbers-visible", "line 14", '"Proof"', "#0072B2", '"A"'):
        assert sign in proof and sign not in fair, sign
