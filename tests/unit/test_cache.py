"""What is kept between runs: read back as it was, by its owner alone, and never as a program."""

from __future__ import annotations

import json
import os
import pickle
import pwd
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fake_engravers import DRAWS, engrave_with
from reading_here import read_here

import cavata.trace.corpus_index as building
from cavata import cache
from cavata.cache import DESKS, HANDBOOK, HEARD, STORES, TREES, Store, key_of, refused
from cavata.cli.main import main
from cavata.desk import lock
from cavata.desk.desk import HELD, Desk
from cavata.files import write_whole
from cavata.foreign import kept
from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.kept import read_kept
from cavata.foreign.score_file import Unreadable
from cavata.lilypond import standing
from cavata.trace.corpus_index import corpus_index

STORE = Store("things", 1 << 20)
KEY, BODY = key_of("a thing"), b"what was computed"
SCRIPT = """language 2
piece "Three Watches"
use french from ciphers
name tamsin = "TAMSIN" by french
forces
    reed = clarinet in A
movement first
    reed: tamsin -> in (1/4)
"""
posix = pytest.mark.skipif(os.name != "posix", reason="owners and rights as POSIX has them")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of the store, in a cache of its own."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache" / "cavata" / "things"


# ---------------------------------------------------------------- read back as it was


@pytest.mark.parametrize("body", [b"", b"x", bytes(range(256)) * 1000])
def test_what_was_kept_is_read_back(body: bytes) -> None:
    assert STORE.read(KEY) is None
    STORE.write(KEY, body)
    assert STORE.read(KEY) == body


def test_an_entry_does_not_pass_for_another(folder: Path) -> None:
    """Neither under another key nor in another store, though every byte of it is as it was."""
    other, store = key_of("another thing"), Store("others", 1 << 20)
    STORE.write(KEY, BODY)
    store.write(KEY, b"")
    shutil.copy(folder / KEY, folder / other)
    shutil.copy(folder / KEY, folder.parent / "others" / KEY)
    assert STORE.read(other) is None and store.read(KEY) is None and STORE.read(KEY) == BODY


def test_a_damaged_entry_is_none(folder: Path) -> None:
    STORE.write(KEY, BODY)
    whole = (folder / KEY).read_bytes()
    for place in range(len(whole)):
        for damaged in (whole[:place], whole[:place] + bytes((whole[place] ^ 1,)) + whole[place + 1 :]):
            (folder / KEY).write_bytes(damaged)
            assert STORE.read(KEY) is None
    (folder / KEY).write_bytes(whole)
    assert STORE.read(KEY) == BODY


def test_keys_differ_with_their_parts() -> None:
    several = ((), ("",), ("a",), ("a", ""), ("", "a"), ("ab", "c"), ("a", "bc"), ("\ud800",))
    assert len({key_of(*parts) for parts in several}) == len(several)
    assert key_of("ö") == key_of("ö".encode())


def test_what_was_not_used_for_longest_makes_room(folder: Path) -> None:
    """Entries of one block of a disk, for four of which there is room, or for five before room is made."""
    store = Store("things", 4 * 4096)
    for number in range(5):
        store.keep(f"k{number}", b"x" * 900)
        os.utime(folder / f"k{number}", (number, number))
    assert store.read("k0") == b"x" * 900
    store.keep("k5", b"x" * 900)
    assert {entry.name for entry in folder.iterdir()} == {"k0", "k3", "k4", "k5"}


# ---------------------------------------------------------------- by its owner alone


@posix
def test_nobody_else_may_look_or_write(folder: Path) -> None:
    """Whatever the process lets new files have."""
    before = os.umask(0)
    try:
        STORE.write(KEY, BODY)
    finally:
        os.umask(before)
    modes = [path.stat().st_mode & 0o777 for path in (folder.parent, folder, folder / KEY)]
    assert modes == [0o700, 0o700, 0o600]


def _made_writable(path: Path) -> None:
    path.chmod(path.stat().st_mode | 0o002)


def _made_writable_for_the_group(path: Path) -> None:
    path.chmod(path.stat().st_mode | 0o020)


def _behind_a_link(path: Path) -> None:
    path.rename(path.with_name("elsewhere"))
    path.symlink_to(path.with_name("elsewhere"))


def _given_away(path: Path) -> None:
    if os.geteuid():
        pytest.skip("only root gives files away")
    os.chown(path, 65534, 65534)


SPOILED = [_made_writable, _made_writable_for_the_group, _behind_a_link, _given_away]


@posix
@pytest.mark.parametrize("spoil", SPOILED)
@pytest.mark.parametrize("above", [2, 1])
def test_a_folder_that_others_may_write_to_is_not_used(folder: Path, above: int, spoil: Callable[[Path], None]) -> None:
    STORE.write(KEY, BODY)
    spoil((folder / KEY).parents[above - 1])
    before = sorted(folder.iterdir())
    assert STORE.read(KEY) is None
    STORE.keep(key_of("new"), BODY)
    with pytest.raises(OSError):
        STORE.write(key_of("new"), BODY)
    assert sorted(folder.iterdir()) == before


@posix
def test_the_usual_folder_is_told_of_if_it_is_not_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whichever of those it is made of; one that is not there, or is this user's own, is used."""
    monkeypatch.setenv("CAVATA_CACHE", "")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert refused() is None
    TREES.write(KEY, BODY)
    assert refused() is None
    for folder in (tmp_path / "xdg/cavata/trees", tmp_path / "xdg/cavata"):
        folder.chmod(0o775)
        assert refused() == folder and TREES.read(KEY) is None


@posix
@pytest.mark.parametrize("spoil", SPOILED)
def test_a_file_that_others_may_write_to_is_not_read(folder: Path, spoil: Callable[[Path], None]) -> None:
    STORE.write(KEY, BODY)
    spoil(folder / KEY)
    assert STORE.read(KEY) is None
    STORE.write(KEY, BODY)
    assert STORE.read(KEY) == BODY, "one's own file takes its place"


@posix
def test_another_user_reads_and_writes_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    STORE.write(KEY, BODY)
    other = os.geteuid() + 1
    monkeypatch.setattr(os, "geteuid", lambda: other)
    assert STORE.read(KEY) is None
    with pytest.raises(PermissionError):
        STORE.write(KEY, b"other")


@posix
def test_a_pipe_is_not_waited_for(folder: Path) -> None:
    STORE.write(KEY, BODY)
    (folder / KEY).unlink()
    os.mkfifo(folder / KEY)
    assert STORE.read(KEY) is None


# ---------------------------------------------------------------- where there is no place for it


@pytest.fixture
def homeless(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A current folder, and no home."""

    def unknown(_: int) -> pwd.struct_passwd:
        raise KeyError

    for name in ("CAVATA_CACHE", "XDG_CACHE_HOME", "HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(pwd, "getpwuid", unknown)
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    return here


NO_PLACE = [{}, {"HOME": ""}, {"HOME": "~"}, {"XDG_CACHE_HOME": "~/.cache"}, {"XDG_CACHE_HOME": "kept"},
            {"CAVATA_CACHE": "~/kept"}, {"CAVATA_CACHE": "~nobody-of-this-name/kept"}]  # fmt: skip


@posix
@pytest.mark.parametrize("environment", NO_PLACE, ids=str)
def test_without_a_home_nothing_is_kept(
    homeless: Path, environment: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In particular no folder called `~` in the current one."""
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert STORE.folder() is None
    STORE.keep(KEY, BODY)
    assert STORE.read(KEY) is None
    with pytest.raises(FileNotFoundError):
        STORE.write(KEY, BODY)
    (homeless / "small.cavata").write_text(SCRIPT, "utf-8")
    assert main(["check", "small.cavata"]) == 0
    assert [path.name for path in homeless.iterdir()] == ["small.cavata"]


@posix
def test_the_environment_says_where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """CAVATA_CACHE before XDG_CACHE_HOME before the home. Source: the XDG Base Directory Specification 0.8."""
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert STORE.folder() == tmp_path / "cache/cavata/things"
    monkeypatch.setenv("CAVATA_CACHE", "")
    assert STORE.folder() == tmp_path / "xdg/cavata/things"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    assert STORE.folder() == tmp_path / "home/.cache/cavata/things"


def test_a_cache_that_is_a_file_is_done_without(tmp_path: Path) -> None:
    (tmp_path / "cache").write_bytes(b"")
    STORE.keep(KEY, BODY)
    assert STORE.read(KEY) is None


# ---------------------------------------------------------------- never as a program


class _Program:
    """Pickled, it writes a file when it is read."""

    def __init__(self, writes: Path) -> None:
        self._writes = writes

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        return write_whole, (self._writes, b"ran")


def _planted_with_checksum(entry: Path, program: bytes) -> None:
    """As only this user could do it."""
    Store(entry.parent.name, 1 << 30).write(entry.name, program)


def _cut_short(entry: Path, _: bytes) -> None:
    entry.write_bytes(entry.read_bytes()[:-1])


def _planted_from_outside(entry: Path, program: bytes) -> None:
    """By someone who may write to the folder, and knows the checksums."""
    entry.parent.chmod(0o700)
    _planted_with_checksum(entry, program)
    entry.chmod(0o666)
    entry.parent.chmod(0o777)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, bytes]]:
    """A folder with a script that was built and scores that were read, so that every store has its entries."""
    place = tmp_path_factory.mktemp("filled")
    (place / "watch.cavata").write_text(SCRIPT, "utf-8")
    (place / "scores").mkdir()
    (place / "scores" / "tune.krn").write_text("**kern\n*M4/4\n=1\n4B-\n4A\n4c\n4B\n==\n*-\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(place / "cache"))
        patch.setattr(building, "read_scores", read_here)
        patch.setattr(kept, "read_score", read_foreign)
        engrave_with(DRAWS, place, patch)
        standing._remember(1000, 20.25)
        yield place, _built(place)


def _seen_at_a_desk(script: Path) -> None:
    """What is kept of saves and of other desks, and sounds of notes; of these only that they can be read."""
    desk = Desk(script)
    for _ in range(HELD + 2):
        script.write_text(f"{script.read_text('utf-8')}-- saved\n", "utf-8")
        desk.save()
    first = desk.find(1)
    assert first is None or first.is_good  # none, where others may write to the store
    script.write_text(SCRIPT, "utf-8")
    assert lock.found(script) is None
    DESKS.keep("1", b'{"port": 1}')
    assert HEARD.read_as("probe", json.loads) in (None, {})
    HEARD.keep("probe", b"{}")


def _built(place: Path) -> bytes:
    """The page of the script, and that it and the scores could be read."""
    command = [sys.executable, "-m", "cavata.cli.main", "build", str(place / "watch.cavata"), "--to", "pdf"]
    run = subprocess.run([*command, "--out", str(place / "out")], capture_output=True, text=True, check=False)
    assert run.returncode == 0 and run.stderr == "", run.stderr
    assert corpus_index(place / "scores", workers=1).files == 1
    assert not isinstance(read_kept(place / "scores" / "tune.krn"), Unreadable)
    assert standing._remembered() in ([], [(1000, 20.25)])
    _seen_at_a_desk(place / "watch.cavata")
    return (place / "out" / "watch.pdf").read_bytes()


@pytest.mark.slow
@posix
@pytest.mark.parametrize("plant", [_planted_with_checksum, _cut_short, _planted_from_outside])
def test_what_is_planted_in_any_store_is_passed_over(
    filled: tuple[Path, bytes], tmp_path: Path, plant: Callable[[Path, bytes], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    place, page = filled
    own = tmp_path / "cache"
    shutil.copytree(place / "cache", own)
    monkeypatch.setenv("CAVATA_CACHE", str(own))
    monkeypatch.setenv("CAVATA_LILYPOND", str(place / "lilypond"))
    program = pickle.dumps(_Program(tmp_path / "ran"))
    entries = [path for path in (own / "cavata").rglob("*") if path.is_file()]
    stores = {value.name for value in vars(cache).values() if isinstance(value, Store)}
    assert stores == {store.name for store in STORES}
    assert {path.parent.name for path in entries} == stores - {HANDBOOK.name}  # whose pages nothing reads
    for entry in entries:
        plant(entry, program)
    if plant is _planted_from_outside:
        shutil.rmtree(own / "cavata" / "scores")  # told as a message: `trace` says so, and reads nothing
    assert _built(place) == page
    assert not (tmp_path / "ran").exists()
    pickle.loads(program)
    assert (tmp_path / "ran").exists(), "it would have run"
