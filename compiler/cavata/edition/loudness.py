"""How loud a voice is at each of its notes.

In: the events of a voice in order. Out: for each the dynamic in force, as its player has been told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.music.event import DYNAMICS
from cavata.place.score import ScoreEvent

_LEAVES = {"fp": "p", "sfp": "p"}
"""A sudden dynamic, and what holds after it."""
MOMENTARY = frozenset(dynamic for dynamic in DYNAMICS if dynamic.startswith(("s", "r")) or dynamic in _LEAVES)
"""Dynamics of one note."""


def loudness(voice: Sequence[ScoreEvent]) -> Iterator[str]:
    """The dynamic in force at each event; empty where none was given, or where a hairpin led to none."""
    in_force = ""
    for event in voice:
        marks = event.event.marks
        if marks.dynamic:
            in_force = _LEAVES.get(marks.dynamic, in_force if marks.dynamic in MOMENTARY else marks.dynamic)
        elif marks.hairpin_ends:
            in_force = ""
        yield in_force
