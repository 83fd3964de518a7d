"""How long a search of a corpus takes, against a plain scan of the same notes and against music21's own searches.

    python tests/bench/trace_speed.py                  all that music21 ships, if it has been read into the cache
    python tests/bench/trace_speed.py bach             one folder of it, read into the cache if need be
    python tests/bench/trace_speed.py bach --music21   also music21's searches (minutes: it parses everything)

Prints medians of several runs in one process, and their ratio; the promise is at most 0.15. Not a timed test.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from cavata.music.pitch import parse_pitch_class
from cavata.trace.corpus_index import corpus_index, kept_index, music21_corpus
from cavata.trace.corpus_trace import CorpusSearch
from cavata.trace.note_arrays import NO_STEP

PATTERNS = {"BACH": (-1, 3, -1), "DSCH": (1, -3, -1), "BACH inverted": (1, -3, 1), "DSCH backwards": (1, 3, -1)}


def lines_of_keys(search: CorpusSearch) -> list[list[int]]:
    """The same notes as plain Python lists, a list for each stretch without a break."""
    midi, steps = search.arrays.midi.tolist(), search.loose.tolist()
    lines: list[list[int]] = []
    for key, step in zip(midi, steps, strict=True):
        if step == NO_STEP:
            lines.append([])
        lines[-1].append(key)
    return lines


def plain_scan(lines: list[list[int]], pattern: tuple[int, int, int]) -> int:
    """One pattern through ready lists, as one would write it without a library."""
    first, second, third = pattern
    found = 0
    for line in lines:
        for a, b, c, d in zip(line, line[1:], line[2:], line[3:], strict=False):
            if b - a == first and c - b == second and d - c == third:
                found += 1
    return found


def timed(work: Callable[[], Any], runs: int) -> tuple[float, Any]:
    seconds, result = [], None
    for _ in range(runs):
        start = time.perf_counter()
        result = work()
        seconds.append(time.perf_counter() - start)
    return statistics.median(seconds), result


def music21_searches(root: Path, search: CorpusSearch, runs: int) -> None:
    """Parse everything, then music21's own functions on the parts; each beside the same question put to the index."""
    from music21 import converter, note
    from music21.search import noteNameSearch
    from music21.search.serial import TransposedSegmentMatcher

    start = time.perf_counter()
    scores = []
    for path in sorted(root.rglob("*")):
        if path.suffix in (".mxl", ".xml", ".musicxml", ".krn", ".abc"):
            parsed = converter.parse(path)
            scores += list(parsed.scores) if hasattr(parsed, "scores") else [parsed]
    print(f"music21: parsing      {time.perf_counter() - start:8.2f} s")
    start = time.perf_counter()
    parts = [part for score in scores for part in score.stripTies().parts]
    print(f"music21: stripTies    {time.perf_counter() - start:8.2f} s")
    steps, letters = PATTERNS["BACH"], tuple(map(parse_pitch_class, ("Bb", "A", "C", "B")))
    wanted = [note.Note(name) for name in ("B-", "A", "C", "B")]

    def by_name() -> int:
        return sum(len(noteNameSearch(part.flatten().notes.stream(), wanted)) for part in parts)

    def transposed() -> int:
        matchers = (TransposedSegmentMatcher(part, "includeAll", includeChords=False) for part in parts)
        return sum(len(matcher.find([[10, 9, 0, 11]])) for matcher in matchers)

    for theirs, ours, what in (
        (by_name, lambda: len(search.spelled(search.begins(steps), letters)), "noteNameSearch, B flat A C B"),
        (transposed, lambda: len(search.begins(steps)), "TransposedSegmentMatcher"),
    ):
        slow, hits = timed(theirs, 1)
        quick, found = timed(ours, runs)
        print(f"music21: {what:30} {slow:8.2f} s  {hits} hits   ours {quick * 1000:.2f} ms  {found} hits   "
              f"ratio {quick / slow:.6f}")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("folder", nargs="?", default="", help="a folder of music21's corpus")
    parser.add_argument("--music21", action="store_true", help="also time music21's own searches")
    parser.add_argument("--runs", type=int, default=9)
    given = parser.parse_args()
    root = music21_corpus() / given.folder
    start = time.perf_counter()
    index = kept_index(root)
    if index is None and not given.folder:
        raise SystemExit("not in the cache yet: `cavata trace BACH --corpus` reads it")
    index = index or corpus_index(root)
    print(f"index of {index.files} files, {len(index.arrays.position)} notes: {time.perf_counter() - start:.2f} s")
    search = CorpusSearch(index.arrays)
    start = time.perf_counter()
    search.loose, search.strict  # noqa: B018  (made when first asked for)
    print(f"steps made in {time.perf_counter() - start:.3f} s")
    lines = lines_of_keys(search)
    for name, pattern in PATTERNS.items():
        ours, places = timed(lambda p=pattern: search.begins(p), given.runs)  # type: ignore[misc]  # p is bound here
        plain, count = timed(lambda p=pattern: plain_scan(lines, p), given.runs)  # type: ignore[misc]  # the same
        assert len(places) == count, (name, len(places), count)
        times = f"search {ours * 1000:7.2f} ms   plain {plain * 1000:8.1f} ms   ratio {ours / plain:.3f}"
        print(f"{name:15} {count:5} hits   {times}")
    if given.music21:
        music21_searches(root, search, given.runs)


if __name__ == "__main__":
    main()
