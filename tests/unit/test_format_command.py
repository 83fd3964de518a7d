"""`cavata format`: what it writes, prints and returns."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.cli.main import main

ROUGH = 'language 2\nname ada="ADA" by french\n'
SMOOTH = 'language 2\nname ada = "ADA" by french\n'


@pytest.fixture
def script(tmp_path: Path) -> Path:
    path = tmp_path / "lantern.cavata"
    path.write_text(ROUGH, encoding="utf-8")
    return path


def test_a_script_is_rewritten_once_and_its_path_printed(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["format", str(script)]) == 0
    assert capsys.readouterr().out == f"{script}\n"
    assert script.read_bytes() == SMOOTH.encode()
    written = script.stat()
    assert main(["format", str(script)]) == 0
    assert capsys.readouterr().out == ""
    assert (script.stat().st_mtime_ns, script.stat().st_ino) == (written.st_mtime_ns, written.st_ino)


def test_check_writes_nothing_and_fails_while_something_would_change(
    script: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["format", "--check", str(script)]) == 1
    assert capsys.readouterr().out == f"{script}\n"
    assert script.read_text("utf-8") == ROUGH
    script.write_text(SMOOTH, encoding="utf-8")
    assert main(["format", "--check", str(script)]) == 0
    assert capsys.readouterr().out == ""


def test_diff_shows_the_change_and_makes_none(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script.write_text(ROUGH.rstrip("\n"), encoding="utf-8")
    assert main(["format", "--diff", str(script)]) == 0
    assert capsys.readouterr().out == (
        f"--- {script}\n+++ {script}\n@@ -1,2 +1,2 @@\n language 2\n"
        '-name ada="ADA" by french\n\\ No newline at end of file\n+name ada = "ADA" by french\n'
    )
    assert script.read_text("utf-8") == ROUGH.rstrip("\n")
    assert main(["format", "--diff", "--check", str(script)]) == 1


def test_marks_and_line_ends_of_other_systems_count_as_changes(script: Path) -> None:
    script.write_bytes(b"\xef\xbb\xbf" + SMOOTH.replace("\n", "\r\n").encode())
    assert main(["format", "--check", str(script)]) == 1
    assert main(["format", str(script)]) == 0
    assert script.read_bytes() == SMOOTH.encode()


def test_what_cannot_be_read_stays_with_its_message(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script.write_text(ROUGH + "motif call   =notes(1/4   H4)\n", encoding="utf-8")
    assert main(["format", str(script)]) == 1
    out, err = capsys.readouterr()
    assert out == f"{script}\n"
    assert f"{script}:3:27  S101" in err
    assert script.read_text("utf-8") == SMOOTH + "motif call   =notes(1/4   H4)\n"


def test_a_file_that_is_no_script_gets_its_message_and_the_others_are_laid_out(
    script: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = script.with_name("other.cavata")
    other.write_bytes(b"language 2\nname \xe9\n")
    missing = script.with_name("missing.cavata")
    assert main(["format", str(other), str(missing), str(script)]) == 1
    out, err = capsys.readouterr()
    assert out == f"{script}\n"
    assert f"{other}:2:6  S100" in err
    assert "N106" in err
    assert other.read_bytes() == b"language 2\nname \xe9\n"


def test_of_a_folder_the_scripts_in_it_but_none_below(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    below = script.parent / "another piece"
    below.mkdir()
    for path in (script.with_name("house.cavata"), script.with_name("notes.txt"), below / "deep.cavata"):
        path.write_text(ROUGH, encoding="utf-8")
    assert main(["format", str(script.parent), str(script)]) == 0
    assert capsys.readouterr().out == f"{script.with_name('house.cavata')}\n{script}\n"
    assert (below / "deep.cavata").read_text("utf-8") == script.with_name("notes.txt").read_text("utf-8") == ROUGH


def test_links_and_rights_stay(script: Path) -> None:
    link = script.with_name("link.cavata")
    link.symlink_to(script)
    script.chmod(0o600)
    assert main(["format", str(link)]) == 0
    assert link.is_symlink()
    assert script.read_text("utf-8") == SMOOTH
    assert script.stat().st_mode & 0o777 == 0o600
