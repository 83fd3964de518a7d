"""Names under ciphers: every reading, which to look at first, and what the names share.

In: names and ciphers. Out: a `Study`. The order within a name is: fewest silent letters; then most different notes;
then fewest notes that only repeat the one before; then most letters on notes of their own names; then the clearest
key. It is an order for looking, not a judgment, and the reason of each place says what it rests on.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from cavata.ciphers.cipher import name_signs
from cavata.music.pitch import Interval
from cavata.record import record, replace
from cavata.study.library_ciphers import OfferedCipher
from cavata.study.reading import NameReading, Unread, key_text, name_reading
from cavata.text import so_many

# ----------------------------------------------------------------
# What two names have in common under one cipher.


@record
class Shared:
    """Two names side by side."""

    first: NameReading
    second: NameReading
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


def shared(first: NameReading, second: NameReading, cipher: OfferedCipher) -> Shared:
    """Compare two readings by the same cipher."""
    others = {pitch.pitch_class.semitone for pitch in second.pitches}
    notes = tuple(
        dict.fromkeys(str(p.pitch_class) for p in first.pitches if p.pitch_class.semitone in others)
    )
    their_letters = {sign.folded for sign in name_signs(second.name)}
    letters = tuple(dict.fromkeys(s.folded for s in name_signs(first.name) if s.folded in their_letters))
    start_first, start_second, length = _longest_run(_steps(first), _steps(second))
    run = _steps(first)[start_first : start_first + length]
    places = (start_first + 1, start_second + 1) if length else (0, 0)
    return Shared(first, second, cipher, notes, letters, _same_opening(first, second), tuple(run), places)


def _steps(reading: NameReading) -> list[int]:
    return [interval.semitones for interval in reading.intervals]


def _same_opening(first: NameReading, second: NameReading) -> str:
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


# ----------------------------------------------------------------

MOST_NAMES, LONGEST_NAME = 20, 60
"""A commission has a few names; a longer list, or a whole page as a name, is a mistake."""


@record
class NameStudy:
    """One name under every cipher."""

    name: str
    readings: tuple[NameReading, ...]
    """In the order in which to look at them."""
    unread: tuple[Unread, ...]


@record
class Study:
    """All names."""

    names: tuple[NameStudy, ...]
    shared: tuple[Shared, ...]
    """Every pair of names under every cipher that reads both; where two ciphers give both the same notes, the first."""


def study_names(names: Sequence[str], ciphers: Sequence[OfferedCipher]) -> Study:
    """Read every name by every cipher and compare."""
    studies = tuple(_one(name, ciphers) for name in dict.fromkeys(names))
    return Study(studies, tuple(_pairs(studies, ciphers)))


def _one(name: str, ciphers: Sequence[OfferedCipher]) -> NameStudy:
    tried = [name_reading(name, offered) for offered in ciphers]
    alike: dict[object, list[NameReading]] = {}
    for reading in tried:
        if isinstance(reading, NameReading):
            alike.setdefault((reading.pitches, reading.soundings), []).append(reading)
    readings = [replace(same[0], alike=tuple(r.cipher for r in same[1:])) for same in alike.values()]
    return NameStudy(name, tuple(sorted(readings, key=_order)), tuple(u for u in tried if isinstance(u, Unread)))


def _order(reading: NameReading) -> tuple[int, int, int, int, Fraction]:
    clearest = reading.keys[0].squared if reading.keys else Fraction(0)
    return (reading.silent, -len(reading.set_class.prime), reading.at_once_again, -reading.own_notes, -clearest)


def reason(reading: NameReading) -> str:
    """Why a reading stands where it does, in the order's own terms."""
    said = ["every letter sounds" if not reading.silent else f"{reading.silent} of {reading.letters} letters silent"]
    said.append(so_many(len(reading.set_class.prime), "different note"))
    if reading.at_once_again:
        said.append(f"{reading.at_once_again} repeated at once")
    if reading.own_notes:
        said.append(f"{reading.own_notes} on the note of the letter")
    if reading.keys:
        said.append(f"{key_text(reading, reading.keys[0])} {reading.keys[0].correlation:.2f}")
    return ", ".join(said)


def _pairs(studies: Sequence[NameStudy], ciphers: Sequence[OfferedCipher]) -> list[Shared]:
    by_cipher = [
        {offered.cipher.name: r for r in one.readings for offered in (r.cipher, *r.alike)} for one in studies
    ]
    found: dict[object, Shared] = {}
    for first, second in combinations(by_cipher, 2):
        for offered in ciphers:
            one, other = first.get(offered.cipher.name), second.get(offered.cipher.name)
            if one is not None and other is not None:
                found.setdefault((one.name, one.pitches, other.name, other.pitches), shared(one, other, offered))
    return list(found.values())
