"""What the commands that tell of a piece say of bad input: each message as its page has it, and never a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates

from cavata.cli.main import main

COMMANDS = ("timings", "stats", "index", "map", "guide")
EMPTY = 'language 2\nuse french from ciphers\nname tamsin = "TAMSIN" by french\nforces\n    violin = violin\n'
BROKEN = EMPTY + "movement first\n    violin: tamsen\n"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(EMPTY)
    (tmp_path / "broken.cavata").write_text(BROKEN)
    return tmp_path


@pytest.mark.parametrize("command", COMMANDS)
def test_piece_without_a_movement(
    command: str, desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main([command, "lantern.cavata", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert [message["code"] for message in told["messages"]] == ["O402"]
    assert main([command, "lantern.cavata"]) == 1
    said = capsys.readouterr().err
    assert holds_or_updates("O402", said, request.config.getoption("--update"))


@pytest.mark.parametrize("command", COMMANDS)
def test_piece_that_does_not_compile(command: str, desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, "broken.cavata"]) == 1
    told = capsys.readouterr()
    assert "tamsen" in told.err and told.out == ""
