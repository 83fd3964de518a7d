"""The errata list for copies that were printed from an older version.

Source of what it must tell: a librarian corrects by page, bar and part (common practice of publishers' errata lists).
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates

from cavata.cli import compare_errata
from cavata.cli.main import main
from cavata.compare.comparing import compared
from cavata.compare.errata import PrintedCopy, concerned, errata_text
from cavata.lilypond.engrave import find_lilypond
from cavata.lilypond.engraving import EngravingFault, Failure
from cavata.pipeline import compile_script

HEAD = 'language 2\npiece "Lantern"\nforces\n    violin = violin\n    cello  = cello\n'
OLD = HEAD + (
    "movement first\n    section one 4 bars\n        violin: notes(1/4 D5 E5 F5 G5) x 4\n"
    "        cello: notes(1/1 D3) x 4\n"
    "    section two 2 bars\n        violin: notes(1/1 D5 C5)\n"
)


def rows(old: str, new: str, copies: list[tuple[str, str]]) -> list[list[str]]:
    """The cells of the tables; every copy has a page for each four bars."""
    was, now = (compile_script(Path("x.cavata"), text=text).score for text in (old, new))
    assert was is not None and now is not None
    pages = {("first", bar): 1 + bar // 4 for bar in range(40)}
    printed = [PrintedCopy(name, part, pages, pages) for name, part in copies]
    text = errata_text(compared(was, now), printed, "old", "new")
    lines = [line.split("  ") for line in text.splitlines()]
    cells = [[cell.strip() for cell in line if cell.strip()] for line in lines]
    return [line for line in cells if len(line) == 6 and line[0] != "page" and not line[0].startswith("-")]


BOTH = [("Full score", ""), ("Cello", "cello")]


def test_a_note_is_told_by_page_bar_and_beat() -> None:
    new = OLD.replace("notes(1/1 D3) x 4", "notes(1/1 D3) x 3, notes(1/2 D3 E3)")
    assert rows(OLD, new, BOTH) == [
        ["2", "4", "2", "4", "first", "beat 1: cello: lasts 1/2, not 1/1"],
        ["2", "4", "2", "4", "first", "beat 3: cello: E3 is new"],
        ["2", "4", "2", "4", "first", "beat 1: lasts 1/2, not 1/1"],
        ["2", "4", "2", "4", "first", "beat 3: E3 is new"],
    ]  # fmt: skip


def test_a_bar_that_has_moved_has_both_its_numbers() -> None:
    more = "    section more 2 bars\n        cello: notes(1/1 C3 C3)\n    section two"
    new = OLD.replace("    section two", more).replace("notes(1/1 D5 C5)", "notes(1/1 D5 B4)")
    found = rows(OLD, new, [("Violin", "violin")])
    assert ["2", "6", "3", "8", "first", "beat 1: C5 is now B4"] in found
    assert ["–", "–", "2", "5–6", "first", "section more is new"] in found


def test_a_tempo_concerns_everybody_and_a_note_its_player() -> None:
    was = compile_script(Path("x.cavata"), text=OLD).score
    assert was is not None
    for change, parts in (
        (("section one 4 bars\n", "section one 4 bars\n        tempo 1/4 at 90\n"), ("violin", "cello")),
        (("D5 C5", "D5 B4"), ("violin",)),
    ):
        now = compile_script(Path("x.cavata"), text=OLD.replace(*change)).score
        assert now is not None
        assert concerned(compared(was, now), ["violin", "cello"]) == parts


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old.cavata").write_text(OLD)
    (tmp_path / "lantern.cavata").write_text(OLD.replace("D5 C5", "D5 B4"))
    return tmp_path


@pytest.mark.usefixtures("desk")
def test_nothing_to_correct(capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest) -> None:
    assert main(["compare", "lantern.cavata", "lantern.cavata", "--errata"]) == 0
    assert holds_or_updates("O921", capsys.readouterr().err, request.config.getoption("--update"))


def test_without_lilypond_the_bars_are_told(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    monkeypatch.setattr("cavata.lilypond.engrave.find_lilypond", lambda: Failure(EngravingFault.MISSING, "not there"))
    assert compare_errata.SUFFIX == "-errata.txt"
    assert main(["compare", "old.cavata", "lantern.cavata", "--errata"]) == 0
    assert holds_or_updates("O920", capsys.readouterr().err, request.config.getoption("--update"))
    text = (desk / "lantern-errata.txt").read_text("utf-8")
    assert "–    6         –        6  first     beat 1: C5 is now B4" in text


@pytest.mark.slow
@pytest.mark.skipif(
    isinstance(find_lilypond(), Failure) or not shutil.which("pdftotext"), reason="no LilyPond, or no Poppler"
)
def test_pages_are_those_of_the_pdf(desk: Path) -> None:
    """Poppler's `pdftotext` finds the word at the changed note on the page that the list names."""
    long = OLD.replace("section one 4 bars", "section one 120 bars").replace("x 4", "x 120")
    was = long.replace("notes(1/1 D5 C5)", 'notes(1/1 D5 C5) -> marked 2 "beacon"')
    (desk / "old.cavata").write_text(was)
    (desk / "lantern.cavata").write_text(was.replace("D5 C5", "D5 B4"))
    assert main(["compare", "old.cavata", "lantern.cavata", "--errata"]) == 0
    lines = [line.split() for line in (desk / "lantern-errata.txt").read_text("utf-8").splitlines() if "B4" in line]
    assert [line[1] for line in lines] == ["122", "122"]
    for options, name, line in (([], "old.pdf", lines[0]), (["--part", "violin"], "old-violin.pdf", lines[1])):
        assert main(["build", "old.cavata", "--to", "pdf", *options]) == 0
        page = line[0]
        text = subprocess.run(
            ["pdftotext", "-f", page, "-l", page, name, "-"], capture_output=True, text=True, check=True, cwd=desk
        ).stdout
        assert int(page) > 1 and "beacon" in text
