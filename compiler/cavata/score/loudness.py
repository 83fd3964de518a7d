"""How loud a voice is at each of its notes.

In: the events of a voice in order. Out: for each the dynamic in force, as its player has been told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.music.dynamics import in_force_after
from cavata.score.score import ScoreEvent


def loudness(voice: Sequence[ScoreEvent]) -> Iterator[str]:
    """The dynamic in force at each event; empty where none was given, or where a hairpin led to none."""
    in_force = ""
    for event in voice:
        marks = event.event.marks
        if marks.dynamic:
            in_force = in_force_after(marks.dynamic, in_force)
        elif marks.hairpin_ends:
            in_force = ""
        yield in_force
