"""A check tells just what a whole look finds of the first degree, for strings, harps, guitars, keys and percussion.

A check looks at a line only where there may be something; lines by chance, many of them absurd, try whether it leaves
out any. `CAVATA_CORPUS=1` tries three thousand.
"""

from __future__ import annotations

import os
from random import Random

import pytest
from looking import checked, impossible_codes

RANGES = {
    "violin": (55, 100), "viola": (48, 88), "cello": (36, 80), "double bass": (28, 67), "harp": (24, 100),
    "guitar": (40, 83), "violins": (55, 95), "cellos": (36, 76), "mandolin": (55, 90), "viola da gamba": (38, 70),
    "piano": (24, 100), "marimba": (36, 96), "timpani": (38, 58), "tubular bells": (60, 77),
}  # fmt: skip
NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")
DRESS = (
    "slurred", "marked pizzicato", "marked muted", "marked p", "marked ff", "trill", "tremolo", "rolled", "marked open",
    "marked harmonic", "marked divisi", "marked staccato", "tremolo 1/16", "marked 1 pizzicato", "marked 2 arco",
)  # fmt: skip


def _pitch(by: Random, low: int, high: int) -> str:
    key = by.randint(low, high)
    return f"{NAMES[key % 12]}{key // 12 - 1}"


def _line(by: Random, low: int, high: int) -> str:
    groups = []
    for _ in range(by.randint(1, 5)):
        items = []
        for _ in range(by.randint(1, 6)):
            notes = tuple(dict.fromkeys(_pitch(by, low, high) for _ in range(by.choice((0, 1, 1, 1, 2, 3, 4)))))
            items.append(f"chord({' '.join(notes)})" if len(notes) > 1 else notes[0] if notes else "rest")
        groups.append(f"{by.choice(('1/32', '1/16', '1/8', '1/4', '1/2', '1/1'))} {' '.join(items)}")
    return " -> ".join([f"notes({', '.join(groups)})", *by.sample(DRESS, by.choice((0, 0, 1, 2)))])


@pytest.mark.parametrize("seed", range(3000 if "CAVATA_CORPUS" in os.environ else 40))
def test_a_check_tells_all_that_is_impossible(seed: int) -> None:
    by = Random(seed)
    name = by.choice(tuple(RANGES))
    low, high = RANGES[name]
    hands = name in ("harp", "piano")
    rows = f"part{'.right' if hands else ''}: {_line(by, low, min(high, low + by.choice((20, 60))))}"
    if hands:
        rows += f"\npart.left: {_line(by, low, high)}"
    elif by.random() < 0.2:
        rows = f"part: together({_line(by, low, high)}, {_line(by, low, high)})"
    asked = (f"part = {name}", rows, f"tempo 1/4 at {by.choice((40, 60, 90, 120, 160, 200))}")
    try:
        codes = impossible_codes(*asked)
    except AssertionError:
        pytest.skip("no score: one of its signs is an error")
    assert checked(*asked) == codes
