"""What every reading must do: a small closed list, written as one would say it.

In: the text of a requirement. Out: which readings of a space meet it. What is none of the list is a ValueError that
says so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cavata.explore.criteria import ReadingArrays, awkward
from cavata.explore.space import Space
from cavata.instruments.table import find, suggestions
from cavata.music.event import ALTERATIONS
from cavata.music.mode import Mode
from cavata.music.pitch import LETTERS, SIZES, parse_interval, parse_pitch_class, plain_accidentals
from cavata.record import record

Allowed = NDArray[Any]
ModeReader = Callable[[str], Mode]


@record
class Requirement:
    """One thing asked for."""

    text: str
    allows: Callable[[Space, ReadingArrays], Allowed]
    """Whether each reading meets it, for all ways of inflecting by all ways of octaves, or an array that spreads so."""


def requirement(text: str, mode_of: ModeReader) -> Requirement:
    """Read one requirement; `mode_of` reads a mode. Raises ValueError that says what was not understood."""
    said = " ".join(text.split())
    for pattern, read in _FORMS:
        match = re.fullmatch(pattern, said)
        if match is not None:
            return Requirement(said, read(match, mode_of))
    raise ValueError(f"`{said}` is none of the requirements")


Allows = Callable[[Space, ReadingArrays], Allowed]


def _accidental(match: re.Match[str], _: ModeReader) -> Allows:
    where, number, alter = match[1], match[3], ALTERATIONS[match[4]]

    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        count = lines.shape[0]
        if where == "first letter":
            places = [0]
        elif where == "last letter":
            places = [len(space.stem.pitches) - 1]
        elif match[2] == "letter":
            places = [n for n, position in enumerate(space.stem.positions) if position == int(number)]
        else:
            places = [int(number) - 1] if 1 <= int(number) <= len(space.stem.pitches) else []
        if not places:
            return np.zeros((count, 1), np.bool_)
        return np.asarray((lines.alters[:, places] == alter).all(axis=1, keepdims=True))

    return allows


def _on(match: re.Match[str], _: ModeReader) -> Allows:
    wanted, place = parse_pitch_class(match[2]), 0 if match[1] == "begins" else -1

    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        good = (lines.letters[place] == wanted.letter) & (lines.alters[:, place] == wanted.alter)
        return np.asarray(good[:, None])

    return allows


def _in(match: re.Match[str], mode_of: ModeReader) -> Allows:
    inside = [degree.semitone for degree in mode_of(match[1]).degrees]
    return lambda space, lines: np.asarray(np.isin(lines.low % 12, inside).all(axis=1, keepdims=True))


def _fits(match: re.Match[str], _: ModeReader) -> Allows:
    low, high = playable(match[1])

    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        good = np.ones(lines.shape, np.bool_)
        for place in range(len(space.stem.pitches)):
            key = lines.note(place)
            good &= (low <= key) & (key <= high)
        return good

    return allows


def playable(words: str) -> tuple[int, int]:
    """The lowest and highest key of an instrument; ValueError where it has none."""
    instrument = find(words)
    if instrument is None:
        near = suggestions(words)
        raise ValueError(f"there is no instrument `{words}`" + (f"; did you mean `{near[0]}`?" if near else ""))
    if instrument.lowest is None or instrument.highest is None:
        raise ValueError(f"`{words}` plays no pitches")
    return instrument.lowest.midi, instrument.highest.midi


def _no_interval(match: re.Match[str], _: ModeReader) -> Allows:
    wanted = parse_interval({"augmented": "aug", "diminished": "dim"}[match[1]] + str(_SIZES.index(match[2]) + 1))

    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        good = np.ones(lines.shape, np.bool_)
        for step, staff in zip(lines.steps(), lines.staff_steps(), strict=True):
            for sign in (1, -1):
                good &= ~((staff == sign * wanted.steps) & (step == sign * wanted.semitones))
        return good

    return allows


_SIZES = SIZES[:8]


def _no_awkward(_match: re.Match[str], _: ModeReader) -> Allows:
    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        good = np.ones(lines.shape, np.bool_)
        for step, staff in zip(lines.steps(), lines.staff_steps(), strict=True):
            good &= ~awkward(step, staff)
        return good

    return allows


def _no_leap(match: re.Match[str], _: ModeReader) -> Allows:
    widest = parse_interval(match[1]).semitones

    def allows(space: Space, lines: ReadingArrays) -> Allowed:
        good = np.ones(lines.shape, np.bool_)
        for step in lines.steps():
            good &= np.abs(step) <= widest
        return good

    return allows


def _at_most(match: re.Match[str], _: ModeReader) -> Allows:
    return lambda space, lines: (lines.inflected <= int(match[1]))[:, None]


def _different(_match: re.Match[str], _: ModeReader) -> Allows:
    return lambda space, lines: np.asarray((lines.classes() <= 1).all(axis=1, keepdims=True))


_NOTE = rf"[{LETTERS}](?:##|bb|#|b)?"
_FORMS: tuple[tuple[str, Callable[[re.Match[str], ModeReader], Allows]], ...] = (
    (r"(first letter|last letter|(letter|note) (\d{1,3})) (sharp|flat|natural)", _accidental),
    (rf"(begins|ends) on ({_NOTE})", _on),
    (r"in (.+)", _in),
    (r"fits (.+)", _fits),
    (rf"no (augmented|diminished) ({'|'.join(_SIZES)})", _no_interval),
    (r"no awkward leaps?", _no_awkward),
    (r"no leap over ((?:m|M|P|aug|dim)\d{1,2})", _no_leap),
    (r"at most (\d{1,2}) inflect(?:ed|ions?)", _at_most),
    (r"all different", _different),
)


def requirements(texts: list[str], mode_of: ModeReader) -> tuple[Requirement, ...]:
    """Read everything asked for; commas stand between requirements."""
    return tuple(
        requirement(plain_accidentals(part), mode_of) for text in texts for part in text.split(",") if part.strip()
    )
