"""Each command has its page, with the options that it has and the output that it gives."""

from __future__ import annotations

import shutil
from contextlib import suppress
from pathlib import Path

import pytest
from command_pages import FOLDER, CommandPage, command_pages

from cavata.cli.main import COMMANDS, main
from cavata.resources import folder

SLOW = {"build", "guide"}
"""What takes half a second or more."""
PAGES = [pytest.param(p, id=p.name, marks=[pytest.mark.slow] * (p.name in SLOW)) for p in command_pages()]


def test_every_page_is_that_of_a_command() -> None:
    assert {path.stem for path in FOLDER.glob("*.md")} == {*COMMANDS, "README"}
    contents = (FOLDER / "README.md").read_text("utf-8")
    assert [name for name in COMMANDS if f"]({name}.md)" not in contents] == []


@pytest.mark.parametrize("page", command_pages(), ids=lambda page: page.name)
def test_options_are_those_of_the_command_line(page: CommandPage, request: pytest.FixtureRequest) -> None:
    assert "\n## Options\n" in page.text
    if request.config.getoption("--update"):
        page.path.write_text(page.with_options(), "utf-8", newline="\n")
    assert page.path.read_text("utf-8") == page.with_options()


@pytest.mark.parametrize("page", PAGES)
def test_output_is_what_the_command_prints(
    page: CommandPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    shown = list(page.shown)
    assert any(line.startswith(f"cavata {page.name} ") for line in shown)
    for name in ("three-watches", "tutorial"):
        shutil.copytree(folder("examples") / name, tmp_path / name)
    for name, text in page.scripts.items():
        (tmp_path / name).write_text(text, "utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CAVATA_LIBRARY", "")

    def run(words: list[str]) -> str:
        with suppress(SystemExit):  # `--help` ends so
            main(words)
        printed = capsys.readouterr()
        return printed.out + printed.err

    page = CommandPage(page.name, page.path.read_text("utf-8"))
    made = page.with_outputs(run)
    if request.config.getoption("--update"):
        page.path.write_text(made, "utf-8", newline="\n")
    assert page.path.read_text("utf-8") == made
