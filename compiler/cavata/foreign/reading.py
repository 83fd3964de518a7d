"""Foreign scores read in a child process, with limits of time and memory, and gone when we are.

In: paths. Out: for each path its pieces, or the reason why there are none. A reader of a foreign format can be led
astray by a few bytes; here it costs no more than its limits, and never us. A child reads several files in a row, since
its library takes a second to load. When it ends before it is through, another goes on with the file at which it stood;
a file that no child gets through, though it is the first, is to blame.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Event
from typing import Any

from cavata.child import ChildLimits, Ended, run_limited
from cavata.foreign.heard import HeardBar, HeardLine, HeardNote, HeardScore
from cavata.foreign.score_file import Unreadable, open_score
from cavata.music.pitch import Pitch

_SECONDS, _SECONDS_A_MEGABYTE = 30, 120
"""Of processor time: far more than a reader needs, which gets through a megabyte of MusicXML in about half a minute."""
_PATIENCE = 10
"""How many times as much by the clock, on a machine that has other work."""
MEMORY = 2 << 30
"""Bytes of address space; the largest movements of music21's corpus are read in a quarter of it."""
_LARGEST_ANSWER = 512 << 20

_CHILD = """
import json, sys
sys.path[:] = json.loads(sys.argv[1])
from cavata.foreign.reading import answer
answer(sys.argv[2], sys.argv[3:])
"""

ReadResult = tuple[HeardScore, ...] | Unreadable


def read_score(path: Path) -> tuple[HeardScore, ...]:
    """Every piece of a file; raises Unreadable where it is no score, holds no note, or is too much for its reader."""
    open_score(path)  # what can be seen without its reader needs no child
    ((_, found),) = read_scores([path])
    if isinstance(found, Unreadable):
        raise found
    return found


def read_scores(
    paths: Sequence[Path], stop: Event | None = None, told: Callable[[], None] | None = None
) -> Iterator[tuple[Path, ReadResult]]:
    """Each file in order with what it holds; `told` is called when a file is through; `stop` ends it at once."""
    left = list(paths)
    while left and not (stop is not None and stop.is_set()):
        with TemporaryDirectory(prefix=f"cavata-{os.getpid()}-", ignore_cleanup_errors=True) as folder:
            answers = Path(folder) / "answers.jsonl"
            ended = _run(left, answers, stop)
            found = list(_answered(answers))
        for path, read in zip(left, found, strict=False):
            yield path, read
            if told is not None:
                told()
        left = left[len(found) :]
        if left and not found and not (stop is not None and stop.is_set()):
            yield left[0], _too_much(left[0], ended)
            if told is not None:
                told()
            left = left[1:]


def _run(paths: Sequence[Path], answers: Path, stop: Event | None) -> Ended:
    seconds = _SECONDS + int(_SECONDS_A_MEGABYTE * sum(map(_size, paths)) / 1_000_000)
    limits = ChildLimits(seconds * _PATIENCE, seconds, MEMORY, _LARGEST_ANSWER)
    command = [sys.executable, "-I", "-c", _CHILD, json.dumps([os.path.abspath(place) for place in sys.path])]
    try:
        return run_limited(
            [*command, str(answers), *(os.path.abspath(path) for path in paths)], answers.parent, limits, None, stop
        )
    except OSError:
        return Ended(127, False, "")


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return 0


def _too_much(path: Path, ended: Ended) -> Unreadable:
    what = "time" if ended.timed_out or ended.status in (-9, -24) else "time or memory"
    return Unreadable(
        "O307", f"reading `{path.name}` takes too much {what}",
        "look for lengths beyond all measure in it, or save it again as MusicXML, a movement a file",
    )  # fmt: skip


# ----------------------------------------------------------------
# What goes from the child to us: a line of JSON for each file.


def answer(answers: str, paths: Sequence[str]) -> None:
    """In the child: read the files, and write down each when it is read."""
    from cavata.foreign.foreign_score import read_foreign

    with open(answers, "w", encoding="utf-8", errors="surrogatepass") as written:
        for path in paths:
            try:
                said: Any = [_packed(score) for score in read_foreign(Path(path))]
            except Unreadable as reason:
                said = [reason.code, reason.message, reason.cure]
            written.write(json.dumps(said) + "\n")
            written.flush()


def _answered(answers: Path) -> Iterator[ReadResult]:
    """What a child wrote, as far as it came."""
    try:
        lines = answers.read_text("utf-8", "surrogatepass").splitlines(keepends=True)
    except OSError:
        return
    for line in lines:
        if line.endswith("\n"):
            said = json.loads(line)
            yield Unreadable(*said) if said and isinstance(said[0], str) else tuple(map(_unpacked, said))


def packed_scores(scores: tuple[HeardScore, ...]) -> bytes:
    """Scores as bytes, for keeping."""
    return json.dumps([_packed(score) for score in scores]).encode("utf-8", "surrogatepass")


def unpacked_scores(body: bytes) -> tuple[HeardScore, ...]:
    """Scores that were kept; raises some exception for bytes that are none."""
    return tuple(map(_unpacked, json.loads(body.decode("utf-8", "surrogatepass"))))


def _packed(score: HeardScore) -> dict[str, Any]:
    return {
        "title": score.title,
        "lines": [
            [line.part, line.voice, [_note_packed(note) for note in line.notes], line.number] for line in score.lines
        ],
        "parts": score.parts,
        "bars": [[bar.name, str(bar.onset), str(bar.duration)] for bar in score.bars],
    }


def _note_packed(note: HeardNote) -> list[Any]:
    pitches = [number for pitch in note.pitches for number in (pitch.position, pitch.alter)]
    return [str(note.onset), str(note.duration), note.bar, int(note.after_rest), *pitches]


def _unpacked(packed: dict[str, Any]) -> HeardScore:
    lines = (
        HeardLine(part, voice, tuple(map(_note, notes)), number) for part, voice, notes, number in packed["lines"]
    )
    bars = (HeardBar(name, Fraction(onset), Fraction(duration)) for name, onset, duration in packed["bars"])
    return HeardScore(packed["title"], tuple(lines), tuple(packed["parts"]), tuple(bars))


def _note(packed: list[Any]) -> HeardNote:
    onset, duration, bar, after_rest, *numbers = packed
    pitches = tuple(Pitch(position, alter) for position, alter in zip(numbers[::2], numbers[1::2], strict=True))
    return HeardNote(Fraction(onset), Fraction(duration), pitches, bar, bool(after_rest))
