"""What readings are judged by: each criterion by name, counted for all readings of a space at once.

In: a space and what the composer asked for. Out: for each criterion one number a reading, rounded to 1e-9 so that no
order hangs on the last bit. `key` is the Krumhansl-Kessler correlation; how dissonant a chord is, is the project's own
scale, from common practice: seconds and sevenths the size of a semitone are most dissonant, then the tritone, whole
tones, thirds and sixths, fourths and fifths.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cavata.explore.space import Space
from cavata.music.mode import Mode
from cavata.music.pitch import NATURAL_SEMITONES
from cavata.study.reading import PROFILES

# ----------------------------------------------------------------
# The words of `cavata explore`: criteria and requirements, as help, tables and messages say them.


CRITERIA_TEXTS: dict[str, tuple[bool, str]] = {
    "few-inflections": (True, "notes inflected"),
    "singable": (True, "sum of all leaps in semitones"),
    "few-awkward-leaps": (True, "augmented and diminished leaps"),
    "key": (False, "correlation with the best major or minor key"),
    "in-mode": (True, "notes outside the mode of --mode"),
    "variety": (False, "different pitch classes"),
    "consonant": (True, "dissonance of all notes together, for --sonority"),
    "dissonant": (False, "dissonance of all notes together, for --sonority"),
    "comfortable": (True, "semitones outside the comfortable range of --for"),
    "near": (True, "semitones by which leaps differ from those of --near"),
    "opening": (True, "semitones by which the first leap differs from that of --opening"),
}
"""Every criterion with whether less is better, and what is counted, in the order of the table's columns."""

FORMS = (
    ("first letter sharp", "also `last`, `letter 3` or `note 3`; `flat`, `natural`: its accidental as it sounds"),
    ("begins on F#", "the first note, in any octave"),
    ("ends on A", "the last note, in any octave"),
    ("in D minor", "no note outside a mode; also a mode of the piece by its name"),
    ("fits clarinet", "every note within the instrument's range"),
    ("no augmented second", "not this leap, spelled so; any augmented or diminished one to the octave"),
    ("no awkward leap", "no augmented or diminished leap at all"),
    ("no leap over P5", "no leap wider than an interval"),
    ("at most 1 inflected", "so many notes inflected, or fewer"),
    ("all different", "no pitch class twice"),
)
"""Every form of requirement with what it means."""


# ----------------------------------------------------------------

HARSHNESS = (0, 6, 3, 1, 1, 0, 4)
"""By how many semitones, at least, two notes lie apart on the circle of the twelve."""
DIATONIC = (frozenset((0,)), frozenset((1, 2)), frozenset((3, 4)), frozenset((5,)), frozenset((7,)),
            frozenset((8, 9)), frozenset((10, 11)))  # fmt: skip
"""By staff steps within the octave, the semitones of an interval that is neither augmented nor diminished."""
DIGITS = 9

Numbers = NDArray[Any]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What readings are measured against."""

    mode: Mode | None = None
    comfortable: tuple[int, int] | None = None
    """The comfortable range of an instrument as keys of the MIDI standard."""
    near: tuple[int, ...] = ()
    """The keys of a theme's notes."""
    opening: int | None = None
    """The semitones of an opening interval."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """A way of judging."""

    name: str
    less_is_better: bool
    says: str
    """What the number is, for the help and the table's legend."""
    counts: Callable[[ReadingArrays, Wishes], Numbers] = field(repr=False)


class ReadingArrays:
    """The readings of a space as arrays: a row for each way of inflecting, a column for each way of octaves."""

    def __init__(self, space: Space) -> None:
        pitches = space.stem.pitches
        natural = np.array([12 * (p.octave + 1) + NATURAL_SEMITONES[p.letter] for p in pitches], np.int16)
        self.inflected = np.count_nonzero(space.alters != np.array([p.alter for p in pitches], np.int16), axis=1)
        self.low = natural[None, :] + space.alters
        """Keys without the octave shifts."""
        self.shifts = space.shifts
        self.alters = space.alters
        self.positions = np.array([p.position for p in pitches], np.int16)
        self.letters = self.positions % 7
        self.shape = (len(space.alters), len(space.shifts))

    def note(self, place: int) -> NDArray[np.int16]:
        """The keys of one note in every reading."""
        return np.asarray(self.low[:, place, None] + 12 * self.shifts[None, :, place], np.int16)

    def steps(self) -> list[NDArray[np.int16]]:
        """From each note to the next in semitones, in every reading."""
        rise, jump = np.diff(self.low, axis=1), 12 * np.diff(self.shifts, axis=1)
        return [np.asarray(rise[:, n, None] + jump[None, :, n], np.int16) for n in range(rise.shape[1])]

    def staff_steps(self) -> list[NDArray[np.int16]]:
        """From each note to the next on the staff, one row for all ways of inflecting."""
        rise, jump = np.diff(self.positions), 7 * np.diff(self.shifts, axis=1)
        return [np.asarray(rise[n] + jump[:, n], np.int16)[None, :] for n in range(len(rise))]

    def classes(self) -> Numbers:
        """How often each of the twelve notes comes: a row for each way of inflecting."""
        twelve = self.low % 12
        return np.asarray(np.stack([np.count_nonzero(twelve == c, axis=1) for c in range(12)], axis=1))


def _few(lines: ReadingArrays, _: Wishes) -> Numbers:
    return np.asarray(lines.inflected[:, None])


def _singable(lines: ReadingArrays, _: Wishes) -> Numbers:
    total = np.zeros(lines.shape, np.int32)
    for step in lines.steps():
        total += np.abs(step)
    return total


def awkward(steps: NDArray[np.int16], staff: NDArray[np.int16]) -> NDArray[np.bool_]:
    """Where a step is augmented or diminished, spelled as it is."""
    down = (staff < 0) | ((staff == 0) & (steps < 0))
    rise, size = np.where(down, -steps, steps), np.where(down, -staff, staff)
    table = np.zeros((7, 24), np.bool_)
    for row, good in enumerate(DIATONIC):
        for semitones in good:
            table[row, semitones + 6] = True
    within = np.clip(rise - 12 * (size // 7) + 6, 0, 23)
    return np.asarray(~table[np.broadcast_to(size % 7, within.shape), within], np.bool_)


def _true(lines: ReadingArrays, _: Wishes) -> Numbers:
    total = np.zeros(lines.shape, np.int32)
    for step, staff in zip(lines.steps(), lines.staff_steps(), strict=True):
        total += awkward(step, staff)
    return total


def _key(lines: ReadingArrays, _: Wishes) -> Numbers:
    heard = lines.classes().astype(np.float64)
    heard -= heard.mean(axis=1, keepdims=True)
    rows = [[float(p[(n - tonic) % 12]) for n in range(12)] for p in PROFILES.values() for tonic in range(12)]
    profiles = np.array(rows)
    profiles -= profiles.mean(axis=1, keepdims=True)
    spread = np.sqrt((heard**2).sum(axis=1, keepdims=True) * (profiles**2).sum(axis=1)[None, :])
    fits = np.divide(heard @ profiles.T, spread, out=np.zeros_like(spread), where=spread > 0)
    return np.asarray(fits.max(axis=1)[:, None])


def _in_mode(lines: ReadingArrays, wishes: Wishes) -> Numbers:
    assert wishes.mode is not None
    inside = [degree.semitone for degree in wishes.mode.degrees]
    return np.asarray(lines.low.shape[1] - lines.classes()[:, inside].sum(axis=1)[:, None])


def _variety(lines: ReadingArrays, _: Wishes) -> Numbers:
    return np.asarray((lines.classes() > 0).sum(axis=1)[:, None])


def _dissonance(lines: ReadingArrays, _: Wishes) -> Numbers:
    heard = (lines.classes() > 0).astype(np.int32)
    weights = np.array([[HARSHNESS[min((a - b) % 12, (b - a) % 12)] for a in range(12)] for b in range(12)])
    return np.asarray(((heard @ weights) * heard).sum(axis=1)[:, None] // 2)


def _comfortable(lines: ReadingArrays, wishes: Wishes) -> Numbers:
    assert wishes.comfortable is not None
    low, high = wishes.comfortable
    total = np.zeros(lines.shape, np.int32)
    for place in range(lines.low.shape[1]):
        key = lines.note(place)
        total += np.maximum(low - key, 0) + np.maximum(key - high, 0)
    return total


def _near(lines: ReadingArrays, wishes: Wishes) -> Numbers:
    total = np.zeros(lines.shape, np.int32)
    for step, wanted in zip(lines.steps(), np.diff(wishes.near), strict=False):
        total += np.abs(step - int(wanted))
    return total


def _opening(lines: ReadingArrays, wishes: Wishes) -> Numbers:
    assert wishes.opening is not None
    steps = lines.steps()
    return np.abs(steps[0] - wishes.opening) if steps else np.zeros((1, 1), np.int16)


_COUNTS: dict[str, Callable[[ReadingArrays, Wishes], Numbers]] = {
    "few-inflections": _few, "singable": _singable, "few-awkward-leaps": _true, "key": _key, "in-mode": _in_mode,
    "variety": _variety, "consonant": _dissonance, "dissonant": _dissonance, "comfortable": _comfortable, "near": _near,
    "opening": _opening,
}  # fmt: skip
CRITERIA = {name: Criterion(name, less, says, _COUNTS[name]) for name, (less, says) in CRITERIA_TEXTS.items()}
"""Every criterion by its name, in the order of the table's columns."""


def scores(space: Space, names: tuple[str, ...], wishes: Wishes) -> NDArray[np.float64]:
    """A row for each criterion, a column for each reading."""
    lines = ReadingArrays(space)
    table = np.empty((len(names), *lines.shape), np.float64)
    for row, name in enumerate(names):
        counted = CRITERIA[name].counts(lines, wishes)
        table[row] = np.round(counted, DIGITS) if counted.dtype.kind == "f" else counted
    return table.reshape(len(names), -1)
