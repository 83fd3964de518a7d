"""What a library of a million scores would take, from rates measured on scores that music21 comes with.

    python tests/bench/library_rate.py [--scores N]

Reads N scores (chorales, quartets, tunes in turn) into an index and searches it for a name by every cipher; prints
processor seconds a score and a million notes, bytes of the index, and from these hours and workers for a library. No
cluster is started: sharing out costs each shard a message, which is nothing beside reading it.
"""

from __future__ import annotations

import argparse
import os
import resource
import shutil
import sys
from itertools import islice, zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory

from cavata.diagnostics import Diagnostics
from cavata.foreign.score_file import FORMATS
from cavata.study.library_ciphers import offered_ciphers
from cavata.trace.corpus_index import music21_corpus
from cavata.trace.library.library import ScoreLibrary
from cavata.trace.library.workers import Here
from cavata.trace.subject import Sought, sought_name

FOLDERS = ("bach", "mozart", "haydn", "beethoven", "essenFolksong", "palestrina")
LIBRARY = 1_000_000


def processor() -> float:
    """Seconds of this process and of its children that have ended."""
    return sum(sum(resource.getrusage(who)[:2]) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))


def chosen(count: int) -> list[Path]:
    """Files of each folder in turn."""
    corpus = music21_corpus()
    rows = [sorted(p for p in (corpus / name).rglob("*") if p.suffix.lower() in FORMATS) for name in FOLDERS]
    return list(islice((path for row in zip_longest(*rows) for path in row if path is not None), count))


def main() -> None:
    """Measure, and work out a library."""
    asking = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asking.add_argument("--scores", type=int, default=120)
    count = asking.parse_args().scores
    with TemporaryDirectory() as made:
        scores, index = Path(made) / "scores", Path(made) / "index"
        scores.mkdir()
        for number, path in enumerate(chosen(count)):
            shutil.copy(path, scores / f"{number:05}{path.suffix}")
        begun = processor()
        library = ScoreLibrary.of(
            scores, index, Here(), lambda done, every: print(f"{done} of {every}", file=sys.stderr)
        )
        reading = processor() - begun
        size = sum(path.stat().st_size for path in index.iterdir())
        name = sought_name("HAYDN", offered_ciphers(None, None, Diagnostics()), False)
        assert isinstance(name, Sought)
        begun = processor()
        library.search([name], 1)
        searching = processor() - begun
    a_score = reading / library.files
    print(f"{library.files} scores, {library.notes} notes, {len(library.failed)} not read")
    print(f"reading: {a_score:.2f} processor seconds a score, {reading / library.notes * 1e6:.0f} a million notes")
    print(f"index: {size / library.notes:.1f} bytes a note")
    often = searching / library.notes
    print(f"a name by {len(name.subjects)} ciphers: {often * 1e6:.1f} processor seconds a million notes")
    notes = library.notes / library.files * LIBRARY
    print(f"a library of {LIBRARY} such scores, {notes / 1e9:.1f} thousand million notes:")
    print(f"    {a_score * LIBRARY / 3600:.0f} processor hours to read")
    print(f"    {size / library.notes * notes / 1e9:.0f} GB of index")
    print(f"    {often * notes / 3600:.1f} processor hours a name")
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")


if __name__ == "__main__":
    main()
