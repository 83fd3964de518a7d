"""A library read and searched by workers: what one machine finds, whoever is killed on the way."""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("pyarrow")

import pyarrow.parquet as pq
from discovery_pages import holds_or_updates
from patience import until
from reading_here import read_here

from cavata.cli.main import main
from cavata.foreign.reading import read_scores
from cavata.trace.library import shards as sharding
from cavata.trace.library.columns import unpacked_notes
from cavata.trace.library.library import ScoreLibrary
from cavata.trace.library.shards import indexed, shards
from cavata.trace.library.workers import Cluster, Here, Lost, workers
from cavata.trace.note_arrays import FIELDS, arrays_of

ABC = "X:1\nT:Quay {0}\nM:4/4\nL:1/8\nK:C\n{1}|_B A c =B d e f g|z4 {2}|[CEG]2 A2 B2 c2|\n"
TUNES = 9


@pytest.fixture
def scores(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Tunes in folders, BACH in each of them, a file that is none, and small shards."""
    place = tmp_path / "scores"
    for number in range(TUNES):
        line = " ".join("CDEFGAB"[(number * 3 + k * (k + number)) % 7] for k in range(8))
        file = place / f"book{number % 2}" / f"tune{number}.abc"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(ABC.format(number, line, line[:7]))
    (place / "book0" / "noise.mid").write_bytes(bytes(range(64)))
    monkeypatch.setattr(sharding, "_FILES", 3)
    monkeypatch.setattr("cavata.trace.corpus_index.read_scores", read_here)  # workers have children all the same
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    return place


def document(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert main([*arguments, "--json"]) == 0
    told: dict[str, object] = json.loads(capsys.readouterr().out)
    return told


@pytest.mark.slow
def test_many_find_what_one_machine_finds(scores: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Places, counts and p of every name. Source: the search of one machine, which is tried against a plain scan."""
    sought = ["trace", "BACH", "DSCH", "--notes", "C D E", str(scores)]
    alone = document(sought, capsys)
    shared = document([*sought, "--index", str(tmp_path / "index")], capsys)
    assert shared["corpora"] == alone["corpora"] != []
    assert len(list((tmp_path / "index").glob("*.parquet"))) == 4


@pytest.mark.slow
def test_the_index_holds_every_note_as_it_was_read(scores: Path, tmp_path: Path) -> None:
    """Source: the readers of music21, asked without an index; and the columns by pyarrow alone."""
    every = shards(scores, tmp_path / "index")
    names = [name for shard in every for name in shard.scores.names]
    found_in = dict(zip(names, (found for _, found in read_scores([scores / name for name in names])), strict=True))
    for shard in every:
        told = indexed(shard)
        read = [(name, found_in[name]) for name in shard.scores.names]
        plain = arrays_of((name, score) for name, found in read if isinstance(found, tuple) for score in found)
        kept = unpacked_notes(shard.file)
        assert kept.lines == plain.lines and (kept.starts == plain.starts).all()
        for field in set(FIELDS) - {"bar"}:
            assert (getattr(kept, field) == getattr(plain, field)).all(), field
        assert [kept.bars[n] for n in kept.bar] == [plain.bars[n] for n in plain.bar]
        table = pq.read_table(shard.file)
        assert table.column_names == ["file", "title", "part", "voice", "bar", "position", "alter", "key",
                                      "begins_line", "after_rest", "chord"]  # fmt: skip
        assert table["key"].to_pylist() == plain.midi.tolist() and told.notes == len(table)
        assert set(table["file"].to_pylist()) == {name for name, found in read if isinstance(found, tuple)}
        assert [name for name, _ in told.failed] == [name for name, found in read if not isinstance(found, tuple)]


@pytest.mark.slow
def test_only_what_has_changed_is_read_again(scores: Path, tmp_path: Path) -> None:
    index = tmp_path / "index"
    before = {shard.file: indexed(shard).file.stat().st_mtime_ns for shard in shards(scores, index)}
    (scores / "book1" / "tune7.abc").write_text(ABC.format(7, "c c c c", "c d e f"))
    ScoreLibrary.of(scores, index, Here(), lambda *_: None)
    now = {path: path.stat().st_mtime_ns for path in index.glob("*.parquet")}
    assert {path: when for path, when in now.items() if path in before} == before and len(now) == len(before) + 1


def test_a_file_of_the_index_that_is_cut_short_is_read_again(scores: Path, tmp_path: Path) -> None:
    shard = shards(scores, tmp_path / "index")[0]
    whole = indexed(shard)
    shard.file.write_bytes(shard.file.read_bytes()[:200])
    assert indexed(shard) == whole


# ------------------------------------------------------------------ a cluster


@pytest.fixture(scope="module")
def two() -> Iterator[Cluster]:
    """Two workers; of those that are killed others take the place."""
    pytest.importorskip("distributed")
    with workers("2") as hands:
        assert isinstance(hands, Cluster)
        yield hands


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_nothing_is_lost_and_nothing_double_when_both_workers_are_killed(
    two: Cluster, scores: Path, tmp_path: Path
) -> None:
    """One worker and then the other is killed while a library is read; what is found is what one process finds."""

    def slowly(number: int) -> tuple[int, int]:
        time.sleep(0.2)
        return number, os.getpid()

    alone = ScoreLibrary.of(scores, tmp_path / "alone", Here(), lambda *_: None)
    first: set[int] = set()
    until(lambda: len(first) == 2 or first.update(pid for _, pid in two.each(slowly, range(4))))

    def kill() -> None:
        for pid in first:
            os.kill(pid, signal.SIGKILL)
            time.sleep(0.5)

    killing = threading.Thread(target=kill)
    counted: list[int] = []
    killing.start()
    together = ScoreLibrary.of(scores, tmp_path / "index", two, lambda done, _: counted.append(done))
    killing.join()
    found = list(two.each(slowly, range(6)))
    assert sorted(number for number, _ in found) == list(range(6)) and not first & {pid for _, pid in found}
    assert (together.files, together.notes, together.failed) == (alone.files, alone.notes, alone.failed)
    assert counted == sorted(counted) and counted[-1] == TUNES + 1
    kept = [unpacked_notes(path) for path in (tmp_path / "index").glob("*.parquet")]
    assert sum(len(one.position) for one in kept) == alone.notes
    lines = [line for one in kept for line in one.lines]
    assert len(lines) == len(set(lines))


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_what_kills_every_worker_is_given_up(two: Cluster) -> None:
    def murderous(number: int) -> int:
        if number == 1:
            os.kill(os.getpid(), signal.SIGKILL)
        return number

    with pytest.raises(Lost, match="died one after another"):
        list(two.each(murderous, range(3)))


# ------------------------------------------------------------------ messages


def test_without_the_extra(
    scores: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    monkeypatch.setattr("cavata.trace.library.workers.workers", missing)
    assert main(["trace", "BACH", str(scores), "--index", str(tmp_path / "index"), "--cluster", "2"]) == 1
    assert holds_or_updates("O982", capsys.readouterr().err, request.config.getoption("--update"))


def missing(where: str | None) -> None:
    raise ModuleNotFoundError("no module", name="distributed")


@pytest.mark.slow
def test_no_scheduler(
    scores: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    pytest.importorskip("distributed")
    monkeypatch.setattr("cavata.trace.library.workers.PATIENCE", "1s")
    assert main(["trace", "BACH", str(scores), "--index", str(tmp_path), "--cluster", "tcp://127.0.0.1:9"]) == 1
    assert holds_or_updates("O983", capsys.readouterr().err, request.config.getoption("--update"))


def test_a_cluster_needs_an_index(scores: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trace", "BACH", str(scores), "--cluster", "2"]) == 2
    assert "`--cluster` goes with `--index`" in capsys.readouterr().err
