"""Every reading of a stem within limits: notes inflected, octaves moved.

In: a stem and limits. Out: a `Space`: rows of alterations and rows of octave shifts; a reading is one of each. The
inflections of a reading and its octaves do not hang on one another, so what rests on one of them is counted once.

A note is inflected by `raised` or `lowered`, a chromatic semitone; no reading has a double accidental that the cipher
does not give. The order is fixed: fewest inflections first, then by the notes inflected from the first on, `raised`
before `lowered`; within that fewest octave leaps first, then nearest to where the cipher lays the line.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, product
from math import prod

import numpy as np
from numpy.typing import NDArray

from cavata.ciphers.cipher import Cipher, SoundingLetter, Tone, laid_out, name_signs, read_name
from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.letters import tone_value
from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.study.script_words import quoted
from cavata.syntax import tree as t

# ----------------------------------------------------------------
# A name's letters before anything is done to their notes: one stem for every way of taking a cipher's choices.
#
# In: a name of a script and its cipher. Out: stems, the script's own way of reading first. A choice of several
# notes for
# one letter cannot be asked for in a script, so only the first choice may have several.


MOST_STEMS = 512
"""Ways of taking the choices of one name."""


@record
class NameStem:
    """One way of taking the choices, laid out as the cipher lays it."""

    name: str
    pitches: tuple[Pitch, ...]
    letters: tuple[str, ...]
    """For each note the letter or letters that gave it."""
    positions: tuple[int, ...]
    """For each note which letter of the name gave it."""
    rests: tuple[int, ...]
    """How many rests stand before each note, and after the last: one number more than there are notes."""
    row: str
    """The row that reads the name so; empty where the script does already."""


def stem_count(tree: t.Name, cipher: Cipher) -> int:
    """In how many ways the choices can be taken, before any is found to be silent."""
    return prod(len(tones) for tones in _choices(tree, cipher).values())


def stems_of(tree: t.Name, cipher: Cipher) -> tuple[NameStem, ...]:
    """Every way of reading a name that gives a note."""
    own = _own_readings(tree)
    choices = _choices(tree, cipher)
    found: list[NameStem] = []
    for taken in product(*choices.values()):
        readings = dict(zip(choices, taken, strict=True))
        usual = {position: tones[0] for position, tones in choices.items()}
        changed = readings != usual
        stem = _stem(tree, cipher, {**own, **readings}, changed)
        if stem is not None and all(stem.pitches != s.pitches or stem.rests != s.rests for s in found):
            found.append(stem)
    return tuple(found)


def _own_readings(tree: t.Name) -> dict[int, Tone]:
    read = ((reading.letter, tone_value(reading.tone, Diagnostics())) for reading in tree.readings)
    return {letter: value.tone for letter, value in read if value is not None}


def _choices(tree: t.Name, cipher: Cipher) -> dict[int, tuple[Tone, ...]]:
    """By the position of a letter the notes that a script may ask for there, the script's own first."""
    own = _own_readings(tree)
    text = tree.spelled.text
    found: dict[int, tuple[Tone, ...]] = {}
    for sounding in read_name(text, cipher, own):
        offered = _entry(sounding, cipher)
        tones = list(dict.fromkeys(choice[0] for choice in offered if len(choice) == 1))
        if len(offered) > 1 and sounding.position not in found:
            good = [tone for tone in tones if _is_offered(text, cipher, own, sounding.position, tone)]
            ordered = sorted(good, key=lambda tone, s=sounding: tone != s.tone)  # type: ignore[misc]  # bound here
            if len(ordered) > 1:
                found[sounding.position] = tuple(ordered)
    return found


def _entry(sounding: SoundingLetter, cipher: Cipher) -> tuple[tuple[Tone, ...], ...]:
    folded = "".join(sign.folded for sign in name_signs(sounding.letters))
    return cipher.entries.get(sounding.letters) or cipher.entries.get(folded) or ()


def _is_offered(text: str, cipher: Cipher, own: Mapping[int, Tone], position: int, tone: Tone) -> bool:
    try:
        read_name(text, cipher, {**own, position: tone})
    except Refusal as refusal:
        return refusal.code == "V103"
    return True


def _stem(tree: t.Name, cipher: Cipher, readings: Mapping[int, Tone], changed: bool) -> NameStem | None:
    try:
        laid = laid_out(tree.spelled.text, cipher, readings)
    except Refusal:
        return None
    sounding = [(s, pitch) for s, pitch in laid if pitch is not None]
    rests = [0]
    for _, pitch in laid:
        if pitch is None:
            rests[-1] += 1
        else:
            rests.append(0)
    return NameStem(
        tree.name.text,
        tuple(pitch for _, pitch in sounding),
        tuple(s.letters for s, _ in sounding),
        tuple(s.position for s, _ in sounding),
        tuple(rests),
        _row(tree, cipher, readings) if changed else "",
    )


def _row(tree: t.Name, cipher: Cipher, readings: Mapping[int, Tone]) -> str:
    text = tree.spelled.text
    written = f" written {quoted(tree.written.text)}" if tree.written else ""
    usual = {s.position: s.tone for s in reversed(read_name(text, cipher))}
    asked = "".join(
        f", letter {position} as {'rest' if tone is None else tone}"
        for position, tone in sorted(readings.items())
        if usual.get(position) != tone
    )
    return f"name {tree.name.text} = {quoted(tree.letters.text)}{written} by {tree.cipher.text}{asked}"


# ----------------------------------------------------------------

WORDS = {1: "raised", -1: "lowered"}
"""The steps that inflect, by the semitones that they add."""


def _other_alters(pitch: Pitch) -> list[int]:
    """The alterations that a note may be inflected to: a semitone up or down, with one sign at most."""
    return [pitch.alter + change for change in WORDS if abs(pitch.alter + change) <= 1]


@record
class SearchLimits:
    """How far the search goes."""

    inflections: int
    """How many notes may be inflected."""
    lowest_octave: int
    highest_octave: int
    """Octaves of scientific pitch notation in which every note must lie."""
    octave_leaps: int
    """At how many places the line may leave the octave in which it would go on."""


@record
class Space:
    """The readings of one stem."""

    stem: NameStem
    alters: NDArray[np.int16]
    """A row for each way of inflecting, a column for each note: the alteration in semitones."""
    shifts: NDArray[np.int16]
    """A row for each way of laying the octaves: by how many each note is moved."""

    def __len__(self) -> int:
        return len(self.alters) * len(self.shifts)

    def line(self, index: int) -> tuple[Pitch, ...]:
        """The notes of a reading."""
        alters, shifts = self._rows(index)
        moved = zip(self.stem.pitches, alters, shifts, strict=True)
        return tuple(Pitch(pitch.position + 7 * shift, alter) for pitch, alter, shift in moved)

    def inflected(self, index: int) -> tuple[tuple[int, str], ...]:
        """The notes of a reading that are inflected, counted from 1, and how."""
        alters, _ = self._rows(index)
        pairs = enumerate(zip(self.stem.pitches, alters, strict=True), start=1)
        return tuple((number, WORDS[alter - pitch.alter]) for number, (pitch, alter) in pairs if pitch.alter != alter)

    def runs(self, index: int) -> tuple[tuple[int, int], ...]:
        """The stretches of notes that are moved alike, first and last note, counted from 1."""
        _, shifts = self._rows(index)
        starts = [n for n in range(len(shifts)) if not n or shifts[n] != shifts[n - 1]]
        return tuple((a + 1, b) for a, b in zip(starts, [*starts[1:], len(shifts)], strict=True))

    def _rows(self, index: int) -> tuple[list[int], list[int]]:
        row, column = divmod(index, len(self.shifts))
        return [int(a) for a in self.alters[row]], [int(s) for s in self.shifts[column]]


def space_of(stem: NameStem, limits: SearchLimits) -> Space:
    """All readings of a stem."""
    width = len(stem.pitches)
    alters = np.array(inflections(stem, limits), np.int16).reshape(-1, width)
    shifts = np.array(octaves(stem, limits), np.int16).reshape(-1, width)
    return Space(stem, alters, shifts)


def reading_count(stem: NameStem, limits: SearchLimits) -> int:
    """How many readings there are, found without making them."""
    return _inflection_count(stem, limits) * sum(_shift_counts(stem, limits).values())


def inflections(stem: NameStem, limits: SearchLimits) -> list[tuple[int, ...]]:
    """Every way of inflecting up to so many notes."""
    usual = [pitch.alter for pitch in stem.pitches]
    others = [_other_alters(pitch) for pitch in stem.pitches]
    rows: list[tuple[int, ...]] = []
    for count in range(min(limits.inflections, len(usual)) + 1):
        for chosen in combinations(range(len(usual)), count):
            for given in product(*(others[note] for note in chosen)):
                row = list(usual)
                for note, alter in zip(chosen, given, strict=True):
                    row[note] = alter
                rows.append(tuple(row))
    return rows


def octaves(stem: NameStem, limits: SearchLimits) -> list[tuple[int, ...]]:
    """Every way of moving runs of notes by octaves, with all notes inside the limits."""
    ranges = [
        range(limits.lowest_octave - pitch.octave, limits.highest_octave - pitch.octave + 1) for pitch in stem.pitches
    ]
    rows: list[tuple[tuple[int, ...], int]] = [((shift,), 0) for shift in ranges[0]]
    for wanted in ranges[1:]:
        rows = [
            ((*row, shift), octave_leaps + (shift != row[-1]))
            for row, octave_leaps in rows
            for shift in wanted
            if octave_leaps + (shift != row[-1]) <= limits.octave_leaps
        ]
    return [row for row, _ in sorted(rows, key=lambda pair: (pair[1], sum(map(abs, pair[0])), pair[0]))]


def _inflection_count(stem: NameStem, limits: SearchLimits) -> int:
    others = [len(_other_alters(pitch)) for pitch in stem.pitches]
    ways = [1] + [0] * limits.inflections
    for other in others:
        ways = [ways[k] + (ways[k - 1] * other if k else 0) for k in range(len(ways))]
    return sum(ways)


def _shift_counts(stem: NameStem, limits: SearchLimits) -> dict[tuple[int, int], int]:
    """How many rows end in each shift with so many octave leaps."""
    counts: dict[tuple[int, int], int] = {}
    for place, pitch in enumerate(stem.pitches):
        wanted = range(limits.lowest_octave - pitch.octave, limits.highest_octave - pitch.octave + 1)
        if not place:
            counts = {(shift, 0): 1 for shift in wanted}
            continue
        following: dict[tuple[int, int], int] = {}
        for (last, octave_leaps), ways in counts.items():
            for shift in wanted:
                now = octave_leaps + (shift != last)
                if now <= limits.octave_leaps:
                    following[shift, now] = following.get((shift, now), 0) + ways
        counts = following
    return counts
