"""Real music is playable: string quartets by Haydn, Mozart and Beethoven in music21's corpus, through the whole room.

At most one moment of several notes in five hundred is told as impossible, what is told of a part in the same words
once, as a player's page has it; and each that is told is explained. All 51 files with CAVATA_CORPUS=1, else one
movement.
"""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

import pytest
from corpus_scores import quartet, quartets, struck

from cavata.playing.finding import Degree
from cavata.playing.playing import findings

EXPLAINED = {
    ("opus132.mxl", "viola2", "cannot play D3 F3 at once"): "one string; two layers of the file at once, it seems",
    ("movement3.mxl", "violin0", "cannot play Ab3 Bb3 at once"): "op. 1/1: a trill written out over its own held note",
    ("movement3.mxl", "cello3", "plucks 8 notes, 16.0 a second"): "op. 59/1: an Adagio, and the file has no tempo",
    ("movement4.mxl", "cello3", "has no B1"): "op. 74/1: below the cello, an error of the file",
    **{
        (file, part, "cannot play so fast with a bow for each note"): why
        for file, parts, why in (
            ("movement1.mxl", "violin0", "op. 1/1: a Presto in 6/8 in which the file has 240 for a quarter"),
            ("opus132.mxl", "violin0", "an Andante in which the file has 120 for a quarter"),
            ("movement2.mxl", "violin0", "op. 18/1: a flourish of an Adagio, without its slur, and no tempo"),
            ("movement3.mxl", "violin0 violin1 viola2", "op. 59/1: slurred runs of an Adagio, at 60 and without slurs"),
        )
        for part in parts.split()
    },
}
"""By file, part and words what is told of real music, and why."""


def _told(path: Path) -> tuple[int, Counter[str], list[tuple[str, str, str]]]:
    """Moments of several notes, how many findings of each degree and kind there are, and what is told as impossible."""
    score = quartet(path)
    if score is None:
        return 0, Counter(), []
    found = [(part.name, finding) for _, part, finding in findings(score)]
    told = list(dict.fromkeys(
        (path.name, part, finding.what) for part, finding in found if finding.degree is Degree.IMPOSSIBLE
    ))  # fmt: skip
    kinds = Counter(f"{finding.degree.value} {finding.kind.word}" for _, finding in found)
    return sum(notes > 1 for notes in struck(score)), kinds, told


@pytest.mark.slow
def test_a_movement_can_be_played() -> None:
    path = next(path for path in quartets() if path.name == "movement3.mxl" and "k155" in str(path))
    stops, kinds, told = _told(path)
    assert stops > 50 and told == []


@pytest.mark.skipif("CAVATA_CORPUS" not in os.environ, reason="reads 51 files: CAVATA_CORPUS=1")
def test_quartets_can_be_played() -> None:
    stops, told, kinds = 0, [], Counter[str]()
    for path in quartets():
        count, found, impossible = _told(path)
        stops += count
        kinds += found
        told += impossible
    print(stops, kinds)
    assert stops > 5000 and len(told) <= stops / 500, told
    assert [one for one in told if one not in EXPLAINED] == []
