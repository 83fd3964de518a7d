"""A folder of scores is read once, kept, read on where it stopped, and searched with the plain scan's results."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from threading import Event

import numpy as np
import pytest
from patience import WAIT, until
from reading_here import read_here
from rounds import some_of
from trace_lines import line, line_of_keys, score

import cavata.trace.corpus_index as building
from cavata.foreign.heard import HeardScore
from cavata.foreign.reading import ReadResult
from cavata.music.pitch import parse_pitch_class
from cavata.trace.corpus_index import corpus_index, kept_index
from cavata.trace.corpus_trace import CorpusSearch, corpus_trace
from cavata.trace.note_arrays import FIELDS, NoteArrays, arrays_of, joined_arrays
from cavata.trace.subject import LineForm, subject_of_notes

BACH = subject_of_notes("Bb A C B")


def plain_scan(scores: list[HeardScore], steps: tuple[int, ...], strict: bool) -> int:
    """The definition in plain Python: successive single notes, a chord breaks the line, so does a rest if strict."""
    found = 0
    for heard in scores:
        for one in heard.lines:
            runs: list[list[int]] = [[]]
            for note in one.notes:
                if note.is_chord or (strict and note.after_rest):
                    runs.append([])
                if not note.is_chord:
                    runs[-1].append(note.pitches[0].midi)
            for keys in runs:
                between = [b - a for a, b in zip(keys, keys[1:], strict=False)]
                for start in range(len(between) - len(steps) + 1):
                    found += tuple(between[start : start + len(steps)]) == steps
    return found


def random_scores(seed: int) -> list[HeardScore]:
    chance = random.Random(seed)
    words = ["r", "C4+E4", "Bb4", "A4", "C5", "B4", "A#4", "G4", "Bb3", "A3", "C4", "B3"]
    return [
        score(*(line(" ".join(chance.choices(words, k=chance.randrange(1, 60))) + " C4", f"P{n}") for n in range(3)))
        for _ in range(12)
    ]


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("steps", [(-1, 3, -1), (1, -3, 1), (0,), (-1, 3), (3, -1, -2, 1)])
def test_search_finds_what_the_plain_scan_finds(seed: int, steps: tuple[int, ...]) -> None:
    scores = random_scores(seed)
    search = CorpusSearch(arrays_of((str(n), s) for n, s in enumerate(scores)))
    for strict in (False, True):
        assert len(search.begins(steps, strict)) == plain_scan(scores, steps, strict)


def test_spelling_is_kept() -> None:
    search = CorpusSearch(arrays_of([("a", score(line("Bb4 A4 C5 B4 r A#4 A4 B#4 Cb5 r Bb2 A2 C3 B2")))]))
    places = search.begins(BACH.steps)
    letters = [parse_pitch_class(text) for text in ["Bb", "A", "C", "B"]]
    assert places.tolist() == [0, 4, 8] and search.spelled(places, letters).tolist() == [0, 8]


def test_places_have_their_addresses() -> None:
    second = score(line("G4", "Flute"), line("G3 G3 Bb4 A4 r C5 B4", "Oboe"))
    heard = [("one", score(line("G4 G4 G4 G4"))), ("two", second)]
    prime = next(f for f in corpus_trace(CorpusSearch(arrays_of(heard)), BACH) if f.form is LineForm.PRIME)
    (place,) = prime.places
    assert (place.address.file, place.address.part, place.first_bar, place.last_bar) == ("two", "Oboe", "1", "2")
    assert place.spelled and place.across_rest and prime.strict == 0


def test_wide_leaps_do_not_break_the_search() -> None:
    search = CorpusSearch(arrays_of([("a", score(line_of_keys([12, 12 + 119, 12])))]))
    assert search.begins((119,)).tolist() == [0] and search.begins((130,)).tolist() == []


def test_joining_is_the_same_as_reading_together() -> None:
    scores = [(str(n), s) for n, s in enumerate(random_scores(9))]
    whole = arrays_of(scores)
    parts = joined_arrays([arrays_of(scores[:4]), arrays_of([]), arrays_of(scores[4:])])
    assert_same(whole, parts)


def assert_same(one: NoteArrays, other: NoteArrays) -> None:
    for name in (*FIELDS, "starts"):
        if name != "bar":
            assert np.array_equal(getattr(one, name), getattr(other, name)), name
    assert [one.bars[b] for b in one.bar] == [other.bars[b] for b in other.bar]
    assert one.lines == other.lines


# ------------------------------------------------------------------ kept on disk


KERN = "**kern\n*M4/4\n=1\n4B-\n4A\n4c\n4B\n=2\n4{}\n4G\n4G\n4G\n==\n*-\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(building, "read_scores", read_here)
    monkeypatch.setattr(building, "_GROUP_FILES", 2)
    scores = tmp_path / "scores"
    (scores / "inner").mkdir(parents=True)
    for number, note in enumerate("GFEDC"):
        (scores / ("inner" if number % 2 else "") / f"tune{number}.krn").write_text(KERN.format(note))
    (scores / "notes.txt").write_text("no score")
    (scores / "broken.xml").write_text("<score-partwise>")
    return scores


def kept_groups(folder: Path) -> list[Path]:
    """What lies in the cache, but for what is still being written."""
    return list((folder.parent / "cache" / "cavata" / "scores").glob("[!.]*"))


def test_a_folder_is_read_and_kept(folder: Path) -> None:
    told: list[tuple[int, int]] = []
    assert kept_index(folder) is None
    index = corpus_index(folder, lambda done, total: told.append((done, total)), workers=1)
    assert index.files == 6 and [name for name, _ in index.failed] == ["broken.xml"]
    assert told[-1] == (6, 6) and [done for done, _ in told] == sorted(done for done, _ in told)
    assert len(CorpusSearch(index.arrays).begins(BACH.steps)) == 5
    again = kept_index(folder)
    assert again is not None and again.failed == index.failed
    assert_same(index.arrays, again.arrays)


def test_reading_goes_on_where_it_was_interrupted(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Path] = []

    def read_until_stopped(
        paths: Sequence[Path], stop: Event | None = None, told: Callable[[], None] | None = None
    ) -> Iterator[tuple[Path, ReadResult]]:
        """The first group; the next one waits until the first was told."""
        assert stop is not None and (not begun or stop.wait(WAIT))
        begun.extend(paths)
        yield from read_here(paths, stop, told)

    def interrupted(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr(building, "read_scores", read_until_stopped)
        corpus_index(folder, interrupted, workers=1)
    assert kept_groups(folder) and kept_index(folder) is None
    told: list[int] = []
    assert corpus_index(folder, lambda done, total: told.append(done), workers=1).files == 6
    assert told[0] > 2, "what was kept counts as done"


def _hears_interrupts() -> None:
    """Tests that run in the background have Ctrl-C switched off, and so would what they start."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def reading_for_long(folder: Path) -> tuple[subprocess.Popen[str], Path]:
    """A command that has kept some files and is busy with one that takes it minutes; and its cache."""
    for number in range(12):
        (folder / f"tune9{number}.krn").write_text(KERN.format("G"))
    (folder / "z.krn").write_text("**kern\n*M4/4\n" + "=\n4B-\n4A\n4c\n4B\n" * 40_000 + "*-\n")
    command = [sys.executable, "-m", "cavata.cli.main", "trace", "BACH", str(folder)]
    running = subprocess.Popen(
        command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, start_new_session=True,
        preexec_fn=_hears_interrupts,
    )  # fmt: skip
    cache = folder.parent / "cache" / "cavata" / "scores"
    until(lambda: kept_groups(folder) or running.poll() is not None)
    assert running.poll() is None
    return running, cache


def readers(folder: Path) -> list[int]:
    """Processes that name a file of the folder on their command line."""
    found = []
    for process in Path("/proc").iterdir():
        try:
            if process.name.isdigit() and str(folder).encode() + b"/" in (process / "cmdline").read_bytes():
                found.append(int(process.name))
        except OSError:
            continue
    return found


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="processes are looked up in /proc")
@pytest.mark.parametrize("number", some_of([signal.SIGKILL, signal.SIGTERM], 2))
def test_readers_end_with_the_command(folder: Path, number: int) -> None:
    """However it is ended, without a word or with one, none that it started lives on."""
    running, _ = reading_for_long(folder)
    assert readers(folder)
    os.kill(running.pid, number)
    running.communicate(timeout=WAIT)
    until(lambda: not readers(folder))
    assert running.returncode in (-number, 130)


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
def test_ctrl_c_ends_every_process_and_leaves_nothing_half_written(folder: Path) -> None:
    """The command is interrupted as a terminal does it: the signal goes to the whole group of processes."""
    running, cache = reading_for_long(folder)
    os.killpg(running.pid, signal.SIGINT)
    said = running.communicate(timeout=WAIT)[1]
    assert running.returncode == 130 and "Traceback" not in said
    assert said.strip().splitlines()[-1].startswith("cavata  O101")
    assert kept_groups(folder) and not list(cache.rglob(".*"))


def test_a_changed_file_is_read_again_and_no_other(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    corpus_index(folder, workers=1)
    (folder / "tune4.krn").write_text(KERN.format("BB") + "\n")
    told: list[tuple[int, int]] = []
    index = corpus_index(folder, lambda done, total: told.append((done, total)), workers=1)
    assert len(told) == 1, "one group of files"
    assert len(CorpusSearch(index.arrays).begins(BACH.steps)) == 5


@pytest.mark.slow
def test_a_damaged_cache_is_made_anew(folder: Path) -> None:
    corpus_index(folder, workers=1)
    for path in kept_groups(folder):
        path.write_bytes(path.read_bytes()[:40])
    assert kept_index(folder) is None
    assert corpus_index(folder, workers=1).files == 6
