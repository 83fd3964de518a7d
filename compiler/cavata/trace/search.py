"""A subject in all notes of a corpus at once.

In: the notes as arrays, and the semitone steps of a shape. Out: the notes at which it begins. Steps are compared as
they are, octaves and repeated notes included; a chord breaks a line; `strict`: a rest breaks it too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from cavata.music.pitch import PitchClass
from cavata.trace.note_arrays import AFTER_REST, BEGINS_LINE, IS_CHORD, NO_STEP, NoteArrays

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Places = NDArray[np.intp]


@dataclass(frozen=True)
class CorpusSearch:
    """A corpus ready for searching: the step to each note from the one before, a byte each."""

    arrays: NoteArrays

    @cached_property
    def loose(self) -> NDArray[np.int8]:
        """Steps with rests passed over; NO_STEP where there is none."""
        import numpy as np

        midi = self.arrays.midi
        steps = np.full(len(midi), NO_STEP, np.int8)
        if len(midi) > 1:
            # Nothing but a broken file leaps by more than ten octaves.
            steps[1:] = np.clip(np.diff(midi), -120, 120)
        chords = (self.arrays.flags & IS_CHORD) != 0
        steps[(self.arrays.flags & BEGINS_LINE) != 0] = NO_STEP
        steps[chords] = NO_STEP
        steps[1:][chords[:-1]] = NO_STEP
        return steps

    @cached_property
    def strict(self) -> NDArray[np.int8]:
        """Steps, and NO_STEP after a rest."""
        steps = self.loose.copy()
        steps[(self.arrays.flags & AFTER_REST) != 0] = NO_STEP
        return steps

    def begins(self, steps: Sequence[int], strict: bool = False) -> Places:
        """The notes at which these steps begin, in order; at least one step."""
        import numpy as np

        array = self.strict if strict else self.loose
        length = len(steps)
        if len(array) <= length or any(abs(step) > 120 for step in steps):
            return np.zeros(0, np.intp)
        # The rarest of the steps is sought in all notes, the others only where that was found.
        order = sorted(range(length), key=lambda i: (-abs(steps[i]), i))
        rare = order[0]
        end = len(array) - length + 1
        found = np.flatnonzero(array[1 + rare : end + rare] == steps[rare])
        for other in order[1:]:
            found = found[array[found + 1 + other] == steps[other]]
        return found

    def spelled(self, places: Places, letters: Sequence[PitchClass]) -> Places:
        """Of the places those whose notes are spelled so, in any octave."""
        import numpy as np

        good = np.ones(len(places), bool)
        for number, letter in enumerate(letters):
            good &= (self.arrays.position[places + number] % 7 == letter.letter) & (
                self.arrays.alter[places + number] == letter.alter
            )
        return places[good]

    def step_shares(self) -> dict[int, float]:
        """How often each step comes among all that the loose arrays have."""
        import numpy as np

        values, counts = np.unique(self.loose[self.loose != NO_STEP], return_counts=True)
        every = int(counts.sum())
        return {int(v): int(c) / every for v, c in zip(values, counts, strict=True)}
