"""`cavata new`: the starter compiles, is laid out as the formatter lays out, and harms nothing that is there."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.pipeline import compile_script
from cavata.syntax.format import format_script


def test_starter_compiles_without_a_message_and_in_the_one_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "north-light"]) == 0
    script = tmp_path / "north-light" / "north-light.cavata"
    assert capsys.readouterr().out.strip() == str(Path("north-light") / "north-light.cavata")
    compiled = compile_script(script)
    assert compiled.score is not None and not compiled.bag.collected
    assert compiled.score.header.title == "North Light"
    text = script.read_text(encoding="utf-8")
    assert format_script(text, script.name).text == text


def test_existing_piece_is_left_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "lamp").mkdir()
    script = tmp_path / "lamp" / "lamp.cavata"
    script.write_text("-- mine\n", encoding="utf-8")
    assert main(["new", str(tmp_path / "lamp")]) == 1
    assert script.read_text(encoding="utf-8") == "-- mine\n"
    assert "O105" in capsys.readouterr().err
