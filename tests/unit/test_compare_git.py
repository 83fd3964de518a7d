"""`cavata compare` and git, with git itself: revisions, the programs that git calls, and what goes wrong.

What git shows and whether its patch still applies is asked of git.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates

from cavata.cli.main import main
from cavata.resources import folder

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here")

MODULE = "language 2\nrhythm rocking = (1/4 1/8)\nmotif tide = notes(1/4 D4 E4 F4 G4)\n"
SCRIPT = """\
language 2

piece "Lantern"

use "house.cavata"

forces
    violin = violin

movement first
    violin: tide, notes(1/4 A4 G4 F4 E4)
"""
BROKEN = SCRIPT.replace("tide,", "tyde,")
ENVIRONMENT = {
    "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull, "GIT_AUTHOR_NAME": "A. Composer",
    "GIT_AUTHOR_EMAIL": "a@example.org", "GIT_COMMITTER_NAME": "A. Composer",
    "GIT_COMMITTER_EMAIL": "a@example.org", "GIT_AUTHOR_DATE": "2026-01-01T00:00:00Z",
    "GIT_COMMITTER_DATE": "2026-01-01T00:00:00Z",
}  # fmt: skip


def git(*arguments: str) -> str:
    run = subprocess.run(("git", *arguments), capture_output=True, check=True, text=True)
    return run.stdout


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with a piece in a folder whose name has spaces, committed once."""
    for key, value in ENVIRONMENT.items():
        monkeypatch.setenv(key, value)
    monkeypatch.setenv("PYTHONPATH", str(folder("compiler")))
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    top = tmp_path / "a desk"
    piece = top / "my pieces" / "lantern"
    piece.mkdir(parents=True)
    (piece / "lantern.cavata").write_text(SCRIPT)
    (piece / "house.cavata").write_text(MODULE)
    monkeypatch.chdir(top)
    git("init", "-q", "-b", "main", ".")
    commit("one")
    return piece


def commit(said: str) -> None:
    git("add", "-A")
    git("commit", "-q", "-m", said)


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


PIECE = "my pieces/lantern"


# ------------------------------------------------------------------ revisions


def test_one_version_alone_is_compared_with_the_last_commit(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", PIECE]) == 0
    assert capsys.readouterr().out == "Lantern: the music is the same\n"
    change(desk / "lantern.cavata", "1/4 A4 G4", "1/4 A4 G#4")
    assert main(["compare", PIECE]) == 0
    assert "bar 2 beat 2, violin: G4 is now G#4" in capsys.readouterr().out


def test_modules_are_those_of_the_revision(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(desk / "house.cavata", "D4 E4 F4 G4", "F4 G4 A4 Bb4")
    commit("two")
    change(desk / "house.cavata", "F4 G4 A4 Bb4", "C4 D4 E4 F4")
    assert main(["compare", PIECE, "--since", "HEAD~1", "--until", "HEAD"]) == 0
    assert "bar 1, violin: a third higher within the mode" in capsys.readouterr().out
    assert main(["compare", PIECE, "--since", "HEAD~1"]) == 0
    assert "bar 1, violin: a second lower within the mode" in capsys.readouterr().out


def test_the_library_of_the_piece_is_that_of_the_revision(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shelf = desk.parent / "shelf"
    shelf.mkdir()
    (shelf / "bells.cavata").write_text("language 2\nmotif knell = notes(1/2 C4, 1/2 D4)\n")
    rows = 'piece "Lantern"\n    library "../shelf"\nuse knell from bells\n'
    change(desk / "lantern.cavata", 'piece "Lantern"\n', rows)
    change(desk / "lantern.cavata", "tide,", "tide, knell,")
    commit("with a library")
    change(shelf / "bells.cavata", "1/2 D4", "1/2 E4")
    assert main(["compare", PIECE]) == 0
    assert "bar 2 beat 3, violin: D4 is now E4" in capsys.readouterr().out
    # The same folder given from outside.
    change(desk / "lantern.cavata", '    library "../shelf"\n', "")
    commit("library from outside")
    change(shelf / "bells.cavata", "1/2 E4", "1/2 F4")
    assert main(["compare", PIECE, "--library", "my pieces/shelf"]) == 0
    assert "bar 2 beat 3, violin: E4 is now F4" in capsys.readouterr().out


def test_a_renamed_piece_is_named_as_it_was(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    git("mv", f"{PIECE}/lantern.cavata", f"{PIECE}/beacon.cavata")
    commit("renamed")
    arguments = ["compare", f"{PIECE}/lantern.cavata", f"{PIECE}/beacon.cavata", "--since", "HEAD~1"]
    assert main(arguments) == 0
    assert "the music is the same" in capsys.readouterr().out


def test_nothing_in_the_work_tree_is_touched(desk: Path) -> None:
    change(desk / "lantern.cavata", "A4 G4", "A4 B4")
    before = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in desk.parent.rglob("*") if path.is_file()}
    index = (desk.parents[1] / ".git" / "index").read_bytes()
    assert main(["compare", PIECE, "--since", "HEAD"]) == 0
    after = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in desk.parent.rglob("*") if path.is_file()}
    assert after == before
    assert (desk.parents[1] / ".git" / "index").read_bytes() == index
    assert git("status", "--porcelain").split() == ["M", '"my', 'pieces/lantern/lantern.cavata"']


def test_a_link_in_a_revision_leads_nowhere(desk: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    secret = tmp_path / "secret.cavata"
    secret.write_text(MODULE)
    (desk / "house.cavata").unlink()
    (desk / "house.cavata").symlink_to(secret)
    commit("a link")
    (desk / "house.cavata").unlink()
    (desk / "house.cavata").write_text(MODULE)
    assert main(["compare", PIECE, "--since", "HEAD"]) == 1
    assert "`house.cavata` cannot be read" in capsys.readouterr().err


# ------------------------------------------------------------------ what goes wrong


def said(arguments: list[str], capsys: pytest.CaptureFixture[str], status: int = 1) -> str:
    assert main(arguments) == status
    return capsys.readouterr().err


def in_gits_words(words: str, told: str) -> str:
    """What was said, with what one version of git says for what any other does."""
    assert "fatal: " in told
    return re.sub(r"fatal: .*", lambda _: f"fatal: {words}", told)


def test_no_repository(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(SCRIPT)
    told = said(["compare", "lantern.cavata", "--since", "HEAD"], capsys)
    told = in_gits_words("not a git repository (or any of the parent directories): .git", told)
    assert holds_or_updates("O420", told, request.config.getoption("--update"))
    assert main(["compare", "--git", "on"]) == 1
    monkeypatch.setenv("PATH", "")
    assert "O420" in said(["compare", "lantern.cavata"], capsys)


@pytest.mark.parametrize("revision", ["second", "--help", "HEAD:x", "", "HEAD^{tree}"])
def test_no_such_revision(
    revision: str, desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    monkeypatch.chdir(desk)
    told = said(["compare", "lantern.cavata", f"--since={revision}"], capsys)
    assert "O421" in told
    if revision == "second":
        assert holds_or_updates("O421", told, request.config.getoption("--update"))


def test_a_file_missing_on_one_side(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    monkeypatch.chdir(desk)
    shutil.copy("lantern.cavata", "beacon.cavata")
    told = said(["compare", "beacon.cavata", "--since", "HEAD"], capsys)
    assert holds_or_updates("O422", told, request.config.getoption("--update"))
    assert "the new version, `gone.cavata`, is not there" in said(["compare", "lantern.cavata", "gone.cavata"], capsys)
    assert "the old version, `gone.cavata`, is not there" in said(["compare", "gone.cavata", "lantern.cavata"], capsys)
    commit("two")
    git("rm", "-q", "beacon.cavata")
    assert "the new version, `beacon.cavata`, is not there" in said(["compare", "beacon.cavata"], capsys)


def test_a_version_that_does_not_compile(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    monkeypatch.chdir(desk)
    (desk / "lantern.cavata").write_text(BROKEN)
    told = said(["compare", "lantern.cavata", "--since", "HEAD"], capsys)
    assert holds_or_updates("O423", told, request.config.getoption("--update"))
    commit("broken")
    (desk / "lantern.cavata").write_text(SCRIPT)
    told = said(["compare", "lantern.cavata"], capsys)
    assert "the old version, `my pieces/lantern/lantern.cavata at HEAD`, does not compile" in told
    assert "my pieces/lantern/lantern.cavata at HEAD:11:13  N204" in told


def test_a_damaged_repository(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    monkeypatch.chdir(desk)
    tree = git("rev-parse", "HEAD^{tree}").strip()
    lost = desk.parents[1] / ".git" / "objects" / tree[:2] / tree[2:]
    lost.chmod(0o600)
    lost.unlink()
    told = in_gits_words("not a tree object", said(["compare", "lantern.cavata"], capsys))
    assert holds_or_updates("O424", told, request.config.getoption("--update"))


def test_settings_that_cannot_be_changed(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    (desk.parents[1] / ".git" / "config.lock").write_text("")  # as while another git writes them
    told = said(["compare", "--git", "on"], capsys)
    assert "O427" in told
    told = re.sub(r"(?m)^    (?!to mend).*$", "    error: could not lock config file .git/config: File exists", told)
    assert holds_or_updates("O427", told, request.config.getoption("--update"))


def test_not_two_versions(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    told = said(["compare", PIECE, PIECE, PIECE], capsys)
    assert holds_or_updates("O426", told, request.config.getoption("--update"))


@pytest.mark.parametrize(
    "arguments",
    [
        ["compare", PIECE, "--json"], ["compare", "--json"], ["compare", PIECE, "--since", "second", "--json"],
        ["compare", "--git", "on", "--json"], ["compare", PIECE, "--to", "gif", "--json"],
    ],
)  # fmt: skip
def test_json_is_one_document(arguments: list[str], desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(arguments)
    told = capsys.readouterr()
    assert told.err == ""
    assert {"messages", "written"} <= set(json.loads(told.out))


# ------------------------------------------------------------------ git shows the music


def test_git_is_told_once_and_can_be_told_to_stop(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    top = desk.parents[1]
    config, attributes = top / ".git" / "config", top / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_text("*.ly text")  # somebody's own, without a line end
    before = config.read_text()
    assert main(["compare", "--git"]) == 0
    first = capsys.readouterr().out
    assert "diff.cavata.command" in first and str(attributes) in first
    written = config.read_text(), attributes.read_text()
    assert attributes.read_text() == "*.ly text\n*.cavata diff=cavata\n"
    assert main(["compare", "--git", "on"]) == 0
    assert capsys.readouterr().out.startswith("nothing to do")
    assert (config.read_text(), attributes.read_text()) == written
    assert main(["compare", "--git", "off"]) == 0
    assert "taken away" in capsys.readouterr().out
    assert (config.read_text(), attributes.read_text()) == (before, "*.ly text\n")
    assert git("status", "--porcelain") == ""


@pytest.mark.slow
def test_git_diff_shows_music_beside_text_and_stays_a_patch(desk: Path, tmp_path: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    change(desk / "lantern.cavata", "notes(1/4 A4 G4 F4 E4)", "notes(1/4 A4 G4 F4 E4) -> up M3")
    shown = git("diff")
    assert "+    violin: tide, notes(1/4 A4 G4 F4 E4) -> up M3\n" in shown
    assert "music of Lantern: 1 change\n" in shown
    assert "  bar 2, violin: a major third higher\n" in shown
    patch = tmp_path / "changes.patch"
    patch.write_text(shown)
    git("checkout", "-q", ".")
    git("apply", str(patch))
    assert "-> up M3" in (desk / "lantern.cavata").read_text()


@pytest.mark.slow
def test_git_diff_between_commits_uses_the_modules_of_each(desk: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    change(desk / "house.cavata", "D4 E4 F4 G4", "D4 E4 F4 A4")
    change(desk / "lantern.cavata", "A4 G4 F4 E4", "A4 G4 F4 D4")
    commit("two")
    shown = git("diff", "HEAD~1", "HEAD")
    assert "bar 1 beat 4, violin: G4 is now A4" in shown and "bar 2 beat 4, violin: E4 is now D4" in shown
    assert "tide is D4:1/4 E4:1/4 F4:1/4 A4:1/4 instead of" in shown


@pytest.mark.slow
def test_git_diff_of_a_version_that_does_not_compile(desk: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    (desk / "lantern.cavata").write_text(BROKEN)
    shown = git("diff")
    assert "+    violin: tyde, notes(1/4 A4 G4 F4 E4)\n" in shown
    assert "music: not known, for the new version does not compile\n" in shown and "N204" in shown


@pytest.mark.slow
def test_git_diff_of_new_and_gone_scripts(desk: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    (desk / "beacon.cavata").write_text(SCRIPT)
    (desk / "lantern.cavata").unlink()
    git("add", "-A")
    shown = git("diff", "--cached", "--no-renames")
    assert '+piece "Lantern"' in shown and '-piece "Lantern"' in shown


@pytest.mark.slow
def test_git_log_shows_music_beside_text(desk: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    change(desk / "lantern.cavata", "A4 G4 F4 E4", "A4 G4 F4 D4")
    commit("two")
    (desk / "lantern.cavata").write_text(BROKEN)
    commit("three")
    shown = git("log", "-p", "-2")
    assert "+    violin: tide, notes(1/4 A4 G4 F4 D4)\n" in shown
    assert "-    violin  1/4 A4 1/4 G4 1/4 F4 1/4 E4\n" in shown
    assert "+    violin  1/4 A4 1/4 G4 1/4 F4 1/4 D4\n" in shown
    assert "+music not known, for this version does not compile\n" in shown


@pytest.mark.slow
def test_git_log_of_a_module_shows_its_definitions(desk: Path) -> None:
    assert main(["compare", "--git", "on"]) == 0
    change(desk / "house.cavata", "D4 E4", "D4 Eb4")
    commit("two")
    assert "+tide = D4:1/4 Eb4:1/4 F4:1/4 G4:1/4\n" in git("log", "-p", "-1")


# ------------------------------------------------------------------ repositories of someone else


def test_a_missing_object_is_told_and_no_program_of_the_repository_is_run(
    desk: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A partial clone says which program is to fetch what is missing; git would run it (git-config, remote.*)."""
    witness = tmp_path / "witness"
    program = tmp_path / "program"
    program.write_text(f"#!/bin/sh\ntouch '{witness}'\nexit 1\n")
    program.chmod(0o755)
    blob = git("rev-parse", f"HEAD:{PIECE}/house.cavata").strip()
    for key, value in (
        ("extensions.partialClone", "origin"), ("core.repositoryFormatVersion", "1"),
        ("remote.origin.promisor", "true"),
        ("remote.origin.url", str(desk)), ("remote.origin.uploadpack", str(program)), ("core.sshCommand", str(program)),
        ("core.fsmonitor", str(program)), ("log.showSignature", "true"), ("gpg.program", str(program)),
    ):  # fmt: skip
        git("config", key, value)
    objects = Path(git("rev-parse", "--git-path", f"objects/{blob[:2]}/{blob[2:]}").strip())
    objects.chmod(0o644)
    objects.unlink()
    assert main(["compare", PIECE]) == 1
    assert "O424" in capfd.readouterr().err
    assert not witness.exists()


def made_tree(rows: str) -> str:
    return subprocess.run(["git", "mktree"], input=rows, text=True, check=True, capture_output=True).stdout.strip()


@pytest.mark.parametrize("name", ["n" * 300 + ".cavata", "house.cavata/inner.cavata"])
def test_a_tree_that_no_folder_can_hold_is_told(desk: Path, capfd: pytest.CaptureFixture[str], name: str) -> None:
    """Names of more than 255 bytes, and a file and a folder of one name: git keeps them, a disk does not."""
    blob = git("rev-parse", f"HEAD:{PIECE}/house.cavata").strip()
    inner = f"100644 blob {blob}\tlantern.cavata\n100644 blob {blob}\thouse.cavata\n100644 blob {blob}\t{name}\n"
    if "/" in name:
        sub = made_tree(f"100644 blob {blob}\tinner.cavata\n")
        inner = inner.replace(f"100644 blob {blob}\t{name}\n", f"040000 tree {sub}\thouse.cavata\n")
    for folder_name in ("lantern", "my pieces", None):
        tree = made_tree(inner)
        inner = f"040000 tree {tree}\t{folder_name}\n"
    made_commit = git("commit-tree", tree, "-m", "odd").strip()
    assert main(["compare", PIECE, "--since", made_commit]) == 1
    assert "O424" in capfd.readouterr().err
