"""Rules of performance: how players depart from what is written, as formulas and quantities.

Durations are in milliseconds from onset to onset, levels in decibels, pitches in semitones; `k` is the quantity of a
rule, 1 as published. The rules are those of the Stockholm group: A. Friberg, "Generative Rules for Music Performance"
(1991); A. Friberg, R. Bresin and J. Sundberg, "Overview of the KTH rule system for musical performance" (2006); the
numbers are of the group's own research code, which was read, and whether the printed tables have the same was not
verified. Other sources stand beside their rules.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt


def high_loud(semitones: float, k: float = 1) -> float:
    """The higher, the louder: decibels for a note so far above the middle of its voice, 3 for an octave."""
    return k * semitones / 4


def contrast(ms: float) -> float:
    """The curve of duration contrast, which makes short notes shorter and softer: 0 or less, least at 200 ms."""
    if not 30 < ms < 600:
        return 0.0
    if ms <= 200:
        return -11 / 170 * (ms - 30)
    if ms <= 400:
        return -4 / 200 * (400 - ms) - 7
    return -7 / 200 * (600 - ms)


def contrast_time(ms: float, k: float = 1) -> float:
    """What duration contrast adds to a duration, in milliseconds."""
    return 1.5 * k * contrast(ms)


def contrast_level(ms: float, k: float = 1) -> float:
    """What duration contrast adds to a level, in decibels."""
    return 0.075 * k * contrast(ms)


def contrast_silence(ms: float, k: float = 1) -> float:
    """What duration contrast cuts from the end of a keyboard's note, outside slurs and staccato."""
    return -4.5 * k * contrast(ms)


def double_duration(ms: float, k: float = 1) -> float:
    """What a note of half the length of the one before takes from it: the contrast of the two is softened."""
    return 0.12 * k * ms


def punctuation(ms: float, k: float = 1) -> float:
    """The small silence at the end of a melodic gesture, in milliseconds."""
    return k * (20 + 40 * (min(max(ms, 160.0), 640.0) - 160) / 480)


LONGER_AT_PUNCTUATION = 0.45
"""How much of that silence the note is longer."""
REPETITION = 35.0
"""The silence before the same pitch again."""
BREATH = 80.0
"""The silence at the end of a phrase or a part of one."""
LAST_OF_SLUR = 60.0
"""The silence after a slur, where no rest follows."""
SHORTEST = 20.0
"""What a note sounds at least."""
FIRST_OF_BAR = 2.0
"""Decibels that the first note of a bar is louder."""


def arch(x: float, turn: float, start: float, end: float) -> float:
    """The value of a phrase arch at a share of its time: `start` at 0, nothing at the turning point, `end` at 1."""
    if x < turn:
        return start * ((turn - x) / turn) ** 2
    return end * ((x - turn) / (1 - turn)) ** 2 if turn < 1 else 0.0


ARCH_TIME = (0.10, 0.20)
"""By how much of their durations notes are longer at both ends of an arch, for k 1."""
ARCH_LEVEL = (-0.5, -1.0)
"""Decibels at both ends of an arch, for k 1 and an amplitude of 1."""


def time_in_ritard(x: float, final: float, q: float = 3) -> float:
    """The time from the beginning of a final ritard to a share of its place, where the whole would take 1 in tempo.

    The tempo is 1 before it and `final` at its end. With q 3 it falls as the speed of runners who stop: A. Friberg and
    J. Sundberg, "Does music performance allude to locomotion?" (1999).
    """
    change = final**q - 1
    return float(q / ((q - 1) * change) * ((1 + change * x) ** ((q - 1) / q) - 1))


RITARD_MS = 1300.0
"""The length of a final ritard, as in tempo."""
LAST_LONGER = 1.25
"""How much longer than written the last note is where the ritard ends with its beginning."""

# ----------------------------------------------------------------
# Charges: how remarkable a note is over its chord, and a chord in its key, by the circle of fifths.

_MELODIC = (0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5)
_MAJOR = (0, 7, 4, 3.5, 6, 3, 7.5, 1.5, 4, 6, 3.5, 7)
_MINOR = (0.3, 8, 2.5, 7, 3, 3.5, 7, 2, 6.5, 1.5, 6, 5.5)
_DIMINISHED = 5.0
RISE_MS = 1900.0
"""How long before a chord of higher charge it begins to grow louder."""


def melodic_charge(semitones: int) -> float:
    """The charge of a note so many semitones above the root of its chord."""
    return _MELODIC[semitones % 12]


def melodic_level(charge: float, k: float = 1) -> float:
    """Decibels for a melodic charge."""
    return 0.2 * k * charge


def melodic_share(charge: float, k: float = 1) -> float:
    """By how much of its duration a note of a melodic charge is longer."""
    return 2 / 300 * k * charge


def charge_of_tones(tones: Sequence[int]) -> float:
    """The charge of a chord by the formula: root, third and fifth in semitones above the keynote."""
    root, third, fifth = (melodic_charge(tone) for tone in tones)
    return max(2 * (root / 2 + third / 3 + fifth / 6) - 3, 0.0)


def harmonic_charge(tones: Sequence[int]) -> float:
    """The charge of a chord: by the table in use for major, minor and diminished triads, else by the formula."""
    third, fifth = ((tone - tones[0]) % 12 for tone in tones[1:])
    root = tones[0] % 12
    match third, fifth:
        case 4, 7:
            return _MAJOR[root]
        case 3, 7:
            return _MINOR[root]
        case 3, 6:
            return _DIMINISHED
        case _:
            return charge_of_tones(tones)


def harmonic_level(charge: float, k: float = 1) -> float:
    """Decibels for a harmonic charge."""
    return 1.5 * k * sqrt(charge)


def harmonic_time(ms: float, charge: float, level: float, first: bool, k: float = 1) -> float:
    """Milliseconds that a harmonic charge adds to a note; `first`: the first one over the chord."""
    return ms * (sqrt(1 + 0.018 * level) - 1) + (10 if first else 2) * k * sqrt(charge)


# ----------------------------------------------------------------
# Articulation at keyboards: R. Bresin and G. U. Battel, "Articulation strategies in expressive piano performance"
# (2000).


def overlap(ms: float, k: float = 1) -> float:
    """How long a slurred note sounds on into the next, in milliseconds."""
    if k <= 1:
        return ms * ((-0.0043 * k - 0.0066) * ms + 5.8533 * k + 11.315) / 100
    return ms * ((0.00005 * k - 0.011) * ms + 1.105 * k + 16.063) / 100


def staccato(ms: float, k: float = 1) -> float:
    """How much is cut from the end of a staccato note, in milliseconds."""
    share = 0.6889 * k + 0.3111 if k <= 1 else 0.0325 * k + 0.9675
    return 0.665 * ms * share


def detached(ms: float, k: float = 1) -> float:
    """How much is cut from the end of a note that is a little apart from the next."""
    return 0.25 * k * ms


PEDAL_FIRST, PEDAL_AGAIN = 30.0, 100.0
"""How long after the note the pedal goes down: the first time; where it is changed, having gone up with the note."""

# ----------------------------------------------------------------
# What no player controls.

NOISE_MS, NOISE_LEVEL = 6.78, 1.0
"""The standard deviations of onsets and levels."""


def louder(velocity: int, decibels: float) -> int:
    """A velocity so many decibels louder, from 1 to 127, where loudness goes with its square.

    R. B. Dannenberg, "The Interpretation of MIDI Velocity" (2006): synthesizers follow about a square law.
    """
    return min(max(round(velocity * 10 ** (decibels / 40)), 1), 127)
