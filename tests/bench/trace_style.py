"""Counts the steps that follow each other in music21's corpus: the table `_FOLLOWS` of `cavata/trace/style.py`.

    python tests/bench/trace_style.py

From each group a sample is read; a group weighs as the square root of its notes, so that no style drowns the others.
Rows are the step before, columns the step, from an octave down to an octave up; 200,000 in all.
"""

from __future__ import annotations

import random

import numpy as np

from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.score_file import FORMATS, Unreadable
from cavata.trace.corpus_index import music21_corpus
from cavata.trace.sounds import Sounds

GROUPS = {
    "bach": 120, "mozart": 6, "haydn": 4, "beethoven": 6, "monteverdi": 8, "trecento": 6, "palestrina": 10,
    "schumann_robert": 3, "schumann_clara": 2, "ryansMammoth": 40, "airdsAirs": 3, "essenFolksong": 3,
}  # fmt: skip
WIDEST, LARGEST = 12, 150_000


def counted(group: str, count: int, chance: random.Random) -> np.ndarray:
    """How often each step follows each in a sample of a group."""
    table = np.zeros((2 * WIDEST + 1, 2 * WIDEST + 1))
    files = sorted(p for p in (music21_corpus() / group).rglob("*") if p.suffix in FORMATS)
    files = [p for p in files if p.stat().st_size < LARGEST]
    for path in chance.sample(files, min(count, len(files))):
        try:
            sounds = Sounds.of(read_foreign(path))
        except Unreadable:
            continue
        steps = np.clip(np.diff(sounds.keys), -WIDEST, WIDEST) + WIDEST
        begins = np.flatnonzero(sounds.room[:-2] > 2)
        np.add.at(table, (steps[begins], steps[begins + 1]), 1)
    return table


def main() -> None:
    """Print the table."""
    chance = random.Random(2)
    tables = [counted(group, count, chance) for group, count in GROUPS.items()]
    whole = sum(table / np.sqrt(table.sum() + 1) for table in tables)
    for row in np.rint(200_000 * whole / whole.sum()).astype(int):
        print(" ".join(map(str, row)))


if __name__ == "__main__":
    main()
