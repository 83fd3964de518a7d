"""The pages of the messages of `fit` and `recast`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates
from second_day_pages import SCRIPT, script_of

from cavata.cli.main import main


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("code", "chapter", "words"),
    [
        ("O891", "fit", ["fit", SCRIPT, "20 s"]),
        ("O892", "fit", ["fit", SCRIPT, "1 min", "--movement", "frist"]),
        ("O893", "fit", ["fit", SCRIPT, "1 min 5 s", "--write", "9"]),
        ("O895", "recast", ["recast", SCRIPT, "celo", "clarinet"]),
        ("O896", "recast", ["recast", SCRIPT, "cello", "bass"]),
        ("O897", "recast", ["recast", SCRIPT, "cello", "snare drum"]),
    ],
)
def test_command_gives_the_message_of_its_page(
    code: str, chapter: str, words: list[str], desk: Path, capsys: pytest.CaptureFixture[str],
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    (desk / SCRIPT).write_text(script_of(chapter), "utf-8")
    assert main(words) == 1
    told = capsys.readouterr()
    assert holds_or_updates(code, told.err, request.config.getoption("--update"))
    assert (desk / SCRIPT).read_text("utf-8") == script_of(chapter)


PLAIN = "language 2\nforces\n    violin = violin\nmovement first\n    tempo 1/4 at 60\n    violin: notes(1/1 D5) x 30\n"


@pytest.mark.parametrize("length", ["1 min 20 s", "3 min 20 s", "4 min 30 s", "5 min"])
def test_a_length_is_reached_by_what_the_message_says(
    length: str, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two minutes, by arithmetic; the option that the cure writes is followed to the letter."""
    (desk / SCRIPT).write_text(PLAIN, "utf-8")
    options = ["--keep-bars"]
    assert main(["fit", SCRIPT, length, *options]) == 1
    cure = re.search(r"leave out `--keep-bars`, or allow more by `--tempi (\d+)`", capsys.readouterr().err)
    assert cure is not None
    assert main(["fit", SCRIPT, length, *options, "--tempi", cure[1]]) == 0
    assert main(["fit", SCRIPT, "20 min", *options]) == 1
    assert "add to the music: it is too far for the tempi" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["fit", SCRIPT, "1 min"], ["recast", SCRIPT, "cello", "clarinet"]])
def test_script_that_does_not_compile(words: list[str], desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / SCRIPT).write_text(script_of("fit").replace("hail x 2", "hial x 2"), "utf-8")
    assert main(words) == 1
    told = capsys.readouterr()
    assert "hial" in told.err and told.out == ""


@pytest.mark.parametrize("length", ["", "0 s", "5", "five min", "5 min to 4 min", "1 min to 2 min to 3 min", "4:60"])
def test_what_is_no_length(length: str, desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fit", SCRIPT, length]) == 2
    assert "is no length" in capsys.readouterr().err


def test_file_that_changed_meanwhile_is_left_alone(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    from cavata.cli import rewriting

    script = desk / SCRIPT
    script.write_text(script_of("fit"), "utf-8")
    written = rewriting.write_edits

    def saved_before(*given: object) -> object:
        script.write_text(script_of("fit") + "-- saved by an editor\n", "utf-8")
        return written(*given)  # type: ignore[arg-type]  # handed on as they come

    monkeypatch.setattr(rewriting, "write_edits", saved_before)
    assert main(["fit", SCRIPT, "1 min 5 s", "--write", "1"]) == 1
    told = capsys.readouterr()
    assert script.read_text("utf-8") == script_of("fit") + "-- saved by an editor\n" and told.out == ""
    assert holds_or_updates("O890", told.err, request.config.getoption("--update"))
