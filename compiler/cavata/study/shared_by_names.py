"""What two names have in common under one cipher."""

from __future__ import annotations

from collections.abc import Sequence

from cavata.ciphers.folding import signs
from cavata.music.pitch import Interval
from cavata.record import dataclass
from cavata.study.library_ciphers import OfferedCipher
from cavata.study.reading import Reading


@dataclass(frozen=True, slots=True)
class Shared:
    """Two names side by side."""

    first: Reading
    second: Reading
    cipher: OfferedCipher
    notes: tuple[str, ...]
    """Note names that both have, in the order of the first; F# and Gb count as one and are told as the first has it."""
    letters: tuple[str, ...]
    """Letters that both have, in the order of the first."""
    opening: str
    """The interval that both begin with, with its direction, as `+M3`; empty where they differ."""
    run: tuple[int, ...]
    """The longest run of semitone steps that both have; empty where they have none."""
    run_places: tuple[int, int]
    """The note of each name at which the run begins, counted from 1; zeros where there is none."""


def shared(first: Reading, second: Reading, cipher: OfferedCipher) -> Shared:
    """Compare two readings by the same cipher."""
    others = {pitch.pitch_class.semitone for pitch in second.pitches}
    notes = tuple(
        dict.fromkeys(str(p.pitch_class) for p in first.pitches if p.pitch_class.semitone in others)
    )
    their_letters = {sign.folded for sign in signs(second.name)}
    letters = tuple(dict.fromkeys(s.folded for s in signs(first.name) if s.folded in their_letters))
    start_first, start_second, length = _longest_run(_steps(first), _steps(second))
    run = _steps(first)[start_first : start_first + length]
    places = (start_first + 1, start_second + 1) if length else (0, 0)
    return Shared(first, second, cipher, notes, letters, _same_opening(first, second), tuple(run), places)


def _steps(reading: Reading) -> list[int]:
    return [interval.semitones for interval in reading.intervals]


def _same_opening(first: Reading, second: Reading) -> str:
    if not first.intervals or not second.intervals or first.intervals[0] != second.intervals[0]:
        return ""
    return directed(first.intervals[0])


def directed(interval: Interval) -> str:
    """An interval with its direction: `+M3`, `-m2`; a unison has none, and what has no name is told in semitones."""
    if not interval.semitones:
        return str(interval)
    upward = interval if interval.semitones > 0 else -interval
    name = str(upward) if upward.steps >= 0 else ""
    if not name[:1].isalpha():
        return f"{interval.semitones:+d} semitones"
    return f"{'+' if interval.semitones > 0 else '-'}{name}"


def _longest_run(left: Sequence[int], right: Sequence[int]) -> tuple[int, int, int]:
    """Where the longest common stretch begins in each, and how long it is; the earliest of several."""
    best = (0, 0, 0)
    lengths = [0] * (len(right) + 1)
    for i, step in enumerate(left):
        before = lengths
        lengths = [0] * (len(right) + 1)
        for j, other in enumerate(right):
            if step == other:
                lengths[j + 1] = before[j] + 1
                if lengths[j + 1] > best[2]:
                    best = (i - before[j], j - before[j], lengths[j + 1])
    return best
