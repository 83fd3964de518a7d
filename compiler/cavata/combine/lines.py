"""Lines cut into ticks, so that all ways of putting two of them together can be judged at once.

In: pitches, onsets and durations. Out: arrays with a column for each tick: what sounds there, whether it begins there,
and how the line comes to it and leaves it. One row for each transposition.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cavata.music.event import Motif
from cavata.music.pitch import Pitch

Grid = NDArray[Any]


@dataclass(frozen=True, slots=True)
class Voice:
    """A line in ticks: arrays of a row for each transposition and a column for each tick."""

    position: Grid
    midi: Grid
    sounds: Grid
    """One row: rests are the same in every transposition."""
    begins: Grid
    """One row."""
    came: Grid
    """The direction, -1, 0 or 1, in which the line came to the note; 0 also after a rest."""
    by_step: Grid
    """Whether it came by a step."""
    on_by_step: Grid
    """Whether it goes on by a step."""
    on_down: Grid
    """Whether it goes on by a step down."""


def voice(line: Motif, pitches: Sequence[Sequence[Pitch]], tick: Fraction) -> Voice:
    """A line, with the pitches of its notes in every transposition."""
    counts = [int(event.duration / tick) for event in line.events]
    number = np.cumsum([bool(event.heads) for event in line.events]) - 1
    sounding = np.array([bool(event.heads) for event in line.events])
    position = np.array([[p.position for p in row] for row in pitches], np.int16)
    midi = np.array([[p.midi for p in row] for row in pitches], np.int16)
    # A move leads from one event straight to the next, both notes; elsewhere a line neither comes nor goes on.
    events = len(counts)
    step, rise = np.zeros((len(position), events + 1), np.int16), np.zeros((len(position), events + 1), np.int16)
    for place in range(1, events):
        if sounding[place] and sounding[place - 1]:
            step[:, place] = position[:, number[place]] - position[:, number[place] - 1]
            rise[:, place] = midi[:, number[place]] - midi[:, number[place] - 1]
    is_step = (np.abs(step) == 1) & (np.abs(rise) <= 2) & (np.sign(step) == np.sign(rise))
    where = np.repeat(np.arange(events), counts)
    begins = np.zeros(len(where), np.bool_)
    begins[np.cumsum([0, *counts[:-1]])] = True
    note = np.maximum(number, 0)[where]
    return Voice(
        position[:, note],
        midi[:, note],
        sounding[where][None, :],
        (begins & sounding[where])[None, :],
        np.sign(rise)[:, where],
        is_step[:, where],
        is_step[:, where + 1],
        (is_step & (rise < 0))[:, where + 1],
    )
