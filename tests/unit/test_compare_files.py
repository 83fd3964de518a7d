"""`cavata compare` on two files: the marked score, scripts without music, and the order of git's alignment."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates

from cavata.cli.main import main
from cavata.compare.comparing import compared
from cavata.compare.marked import marked_score
from cavata.notate.written import leaves
from cavata.pipeline import compile_script, written
from cavata.resources import folder
from cavata.score.colors import PALETTE

HEAD = 'language 2\npiece "Lantern"\nforces\n    violin = violin\n    cello  = cello\n'
OLD = HEAD + (
    "movement first\n    section one 2 bars\n        violin: notes(1/4 D5 E5 F5 G5, 1/4 A5 G5 F5 E5)\n"
    "        cello:  notes(1/2 D3 A3, 1/1 D3)\n    section two 1 bar\n        violin: notes(1/1 D5)\n"
)
NEW = (
    OLD.replace("E5 F5 G5", "E5 F#5 G5").replace("1/1 D3)", "1/2 D3) -> marked 3 tenuto")
    .replace("section two", "section new 1 bar\n        cello: notes(1/1 C3)\n    section two")
)  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old.cavata").write_text(OLD)
    (tmp_path / "lantern.cavata").write_text(NEW)
    return tmp_path


def test_the_changes_as_text_and_as_a_document(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "old.cavata", "lantern.cavata"]) == 0
    text = capsys.readouterr().out
    assert text.splitlines() == [
        "Lantern: 4 changes; it takes 16 s, 4 s longer",
        "first",
        "  bar 1 beat 3, violin: F5 is now F#5",
        "  bar 2 beat 1, cello: lasts 1/2, not 1/1",
        "  bar 2 beat 1, cello: now tenuto",
        "  bar 3: section new is new",
    ]
    assert main(["compare", "old.cavata", "lantern.cavata", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["same"] is False and document["seconds"] == {"old": 12.0, "new": 16.0}
    first = document["changes"][0]
    assert (first["kind"], first["movement"], first["parts"]) == ("other pitch", "first", ["violin"])
    assert first["places"][0]["from"] == {"bar": 1, "in_bar": "beat 3", "onset": "1/2"}
    (note,) = first["notes"]
    assert (note["old"]["pitches"], note["new"]["pitches"]) == (["F5"], ["F#5"])
    assert note["new"]["script"] == {"file": "lantern.cavata", "line": 8}
    assert [change["text"] for change in document["changes"]] == [line.strip() for line in text.splitlines()[2:]]


def test_every_change_has_a_letter_and_a_color_in_the_score(desk: Path) -> None:
    old, new = (compile_script(desk / name).score for name in ("old.cavata", "lantern.cavata"))
    assert old is not None and new is not None
    page = written(marked_score(new, compared(old, new), "old.cavata"))
    found = {
        (part.part.name, frame.number, " ".join(map(str, (head.pitch for head in leaf.heads)))):
            (leaf.letters, {head.color for head in leaf.heads})
        for part in page.movements[0].parts for staff in part.staves
        for frame, bar in zip(page.movements[0].frames, staff.bars, strict=True)
        for voice in bar.voices for leaf in leaves(voice) if leaf.letters or any(head.color for head in leaf.heads)
    }  # fmt: skip
    assert found == {
        ("violin", 1, "F#5"): ("P", {PALETTE[1]}),
        ("cello", 2, "D3"): ("L M", {PALETTE[3]}),
        ("cello", 3, "C3"): ("N", {PALETTE[0]}),
    }
    assert [name for name, _ in page.header.colors] == ["N new", "P other pitch", "L other length"]
    assert [tempo.words for _, tempo in page.movements[0].frames[2].tempi] == ["[section new is new]"]


def test_another_instrument_in_hand_is_said_over_its_bar() -> None:
    head = "language 2\nforces\n    flute = flute, doubling piccolo\nmovement first\n    flute: notes(1/1 D5 E5)\n"
    texts = (head, head + "    flute bars 2 to 2: on piccolo\n")
    old, new = (compile_script(Path("p.cavata"), "p.cavata", text).score for text in texts)
    assert old is not None and new is not None
    page = written(marked_score(new, compared(old, new), "old.cavata"))
    words = [tempo.words for frame in page.movements[0].frames for _, tempo in frame.tempi if tempo.words]
    assert words == ["[bar 2, flute: on piccolo instead of the usual instrument]"]


def test_what_is_gone_is_said_at_its_place(desk: Path) -> None:
    old, new = (compile_script(desk / name).score for name in ("lantern.cavata", "old.cavata"))
    assert old is not None and new is not None
    page = written(marked_score(new, compared(old, new), "lantern.cavata"))
    words = [tempo.words for _, tempo in page.movements[0].frames[2].tempi]
    assert words == ["[bar 3 of the old version: section new is gone]"]


def test_the_marked_score_is_written(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "old.cavata", "lantern.cavata", "--to", "ly,musicxml", "--out", "marked"]) == 0
    assert capsys.readouterr().out.splitlines()[-2:] == [
        os.path.join("marked", "lantern-first-changes.musicxml"), os.path.join("marked", "lantern-changes.ly"),
    ]  # fmt: skip
    assert "changes since old.cavata" in (desk / "marked" / "lantern-changes.ly").read_text()


def test_bars_that_are_new_say_so_and_the_page_knows_no_folder(desk: Path) -> None:
    (desk / "deep").mkdir()
    (desk / "deep" / "old.cavata").write_text(OLD.replace("section one 2 bars", "section one 4 bars"))
    assert main(["compare", "deep/old.cavata", "old.cavata", "--to", "ly"]) == 0
    text = (desk / "old-changes.ly").read_text()
    assert "changes since old.cavata" in text and "deep" not in text
    assert "[bars 3 to 4 of the old version are gone]" in text


def test_nothing_to_mark(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(["compare", "lantern.cavata", "lantern.cavata", "--to", "pdf"]) == 0
    assert holds_or_updates("O425", capsys.readouterr().err, request.config.getoption("--update"))
    assert not (desk / "lantern-changes.pdf").exists()


def test_scripts_without_music_are_compared_by_their_values(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "language 2\ncipher house\n    letters A..C onto A B C\nrhythm one = (1/4 1/8)\nrhythm two = (1/4)\n"
    (desk / "a.cavata").write_text(text)
    text = text.replace("A B C", "A Bb C").replace("(1/4 ", "(1/4. ").replace("two", "three")
    (desk / "b.cavata").write_text(text)
    assert main(["compare", "a.cavata", "b.cavata"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "b: 4 changes", "  house: B is Bb instead of B", "  one is (3/8 1/8) instead of (1/4 1/8)",
        "  three is new: (1/4)", "  two is gone",
    ]  # fmt: skip


def test_the_readme_shows_what_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = folder("examples") / "three-watches"
    other = shutil.copytree(source, tmp_path / "three-watches")
    text = (other / "three-watches.cavata").read_text()
    for old, new in (
        ("bassoon at bar 11:       reply ->", "bassoon at bar 11:       reply -> without 3 ->"),
        ("violin1:          tide -> marked p", "violin1:          tide -> up M3 -> marked mp"),
        ("    section tide_out", "    section pause 2 bars\n        harp: lamp\n    section tide_out"),
    ):
        assert old in text
        text = text.replace(old, new)
    (other / "three-watches.cavata").write_text(text)
    assert main(["compare", str(source), str(other)]) == 0
    assert f"```text\n{capsys.readouterr().out}```\n" in (folder("examples").parent / "README.md").read_text()


@pytest.mark.slow
@pytest.mark.parametrize("piece", ["three-watches", "monograms", "piano"])
def test_an_example_is_the_same_as_itself_in_one_layout_or_another(
    piece: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = shutil.copytree(folder("examples") / piece, tmp_path / piece)
    for path in other.rglob("*.cavata"):
        text = path.read_text().replace("    ", "  ").replace("language 2\n", "language 2\n\n-- another layout\n", 1)
        path.write_text(text)
    assert main(["compare", str(folder("examples") / piece), str(other)]) == 0
    assert capsys.readouterr().out.endswith(": the music is the same\n")
