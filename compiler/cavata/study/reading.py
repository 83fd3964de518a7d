"""A name under one cipher, and everything that can be said of its notes.

In: the letters and a cipher. Out: a `NameReading`, or an `Unread` that says why the cipher has no answer. Every note
counts the same: a name laid out is a line of quarter notes.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.ciphers.cipher import SoundingLetter, laid_out, name_signs
from cavata.diagnostics import Refusal
from cavata.music.mode import DEGREES, Mode
from cavata.music.pitch import Interval, Pitch, writable
from cavata.record import record
from cavata.study.chords import ChordName, SetClass, chord_name, set_class
from cavata.study.library_ciphers import OfferedCipher

# ----------------------------------------------------------------
# How many of a line's notes lie in each mode on each of its notes.
#
# A mode is offered on a note that the line has. The order: most notes inside; then the mode whose final ends the line,
# or else begins it; then most of the final's triad in the line; then the fewest signs in the signature. The order
# is the
# project's own: no published measure of modes is used.


_OFFERED = tuple(name for name in DEGREES if name != "aeolian")
"""Aeolian has the degrees of minor."""


@record
class ModeFit:
    """A mode and how much of the line lies in it."""

    mode: Mode
    inside: int
    notes: int

    @property
    def share(self) -> Fraction:
        """The part of the line's notes that the mode has."""
        return Fraction(self.inside, self.notes)


def mode_fits(line: Sequence[Pitch]) -> tuple[ModeFit, ...]:
    """The modes on the notes of a line, the best first; the line must not be empty."""
    classes = [pitch.pitch_class for pitch in line]
    present = {c.semitone for c in classes}
    ranked = []
    for tonic in dict.fromkeys(classes):
        for name in _OFFERED:
            mode = Mode(tonic, name)
            if abs(mode.fifths) > MOST_SIGNS_OF_KEY:
                continue
            scale = {(tonic.semitone + degree) % 12 for degree in DEGREES[name]}
            inside = sum(c.semitone in scale for c in classes)
            triad = sum((tonic.semitone + DEGREES[name][i]) % 12 in present for i in (0, 2, 4))
            place = 0 if classes[-1] == tonic else 1 if classes[0] == tonic else 2
            order = (-inside, place, -triad, abs(mode.fifths), _OFFERED.index(name))
            ranked.append((order, ModeFit(mode, inside, len(classes))))
    return tuple(fit for _, fit in sorted(ranked, key=lambda pair: pair[0]))


# ----------------------------------------------------------------
# How well notes fit the 24 major and minor keys.
#
# The Krumhansl-Kessler profiles (listeners' ratings of the twelve notes in a major and a minor key, 1982),
# correlated by
# Pearson's formula with how much of each pitch class there is. Sums are of whole numbers, since a correlation does not
# change when one side of it is multiplied; only the root at the end is a float.


PROFILES: dict[str, tuple[Fraction, ...]] = {
    mode: tuple(map(Fraction, numbers.split()))
    for mode, numbers in {
        "major": "6.35 2.23 3.48 2.33 4.38 4.09 2.52 5.19 2.39 3.66 2.29 2.88",
        "minor": "6.33 2.68 3.52 5.38 2.60 3.53 2.54 4.75 3.98 2.69 3.34 3.17",
    }.items()
}

_IN_HUNDREDTHS = {mode: tuple(int(100 * rating) for rating in ratings) for mode, ratings in PROFILES.items()}


@record
class KeyFit:
    """A key and how well it fits."""

    tonic: int
    """Pitch class, 0 to 11 from C."""
    mode: str
    squared: Fraction
    """The square of the correlation, exact, with the correlation's sign."""

    @property
    def correlation(self) -> float:
        """Pearson's r, from -1 to 1."""
        return math.copysign(math.sqrt(abs(self.squared)), self.squared)


def key_fits(weights: Mapping[int, Fraction]) -> tuple[KeyFit, ...]:
    """All 24 keys, the best first; empty where every pitch class weighs the same, since nothing then correlates."""
    heard = [Fraction(weights.get(pitch_class, 0)) for pitch_class in range(12)]
    if len(set(heard)) == 1:
        return ()
    together = math.lcm(*(share.denominator for share in heard))
    whole = [int(share * together) for share in heard]
    fits = [
        KeyFit(tonic, mode, _signed_square(whole[tonic:] + whole[:tonic], ratings))
        for mode, ratings in _IN_HUNDREDTHS.items()
        for tonic in range(12)
    ]
    return tuple(sorted(fits, key=lambda fit: (-fit.squared, fit.mode, fit.tonic)))


def _signed_square(left: Sequence[int], right: Sequence[int]) -> Fraction:
    many, sum_left, sum_right = len(left), sum(left), sum(right)
    shared = many * sum(a * b for a, b in zip(left, right, strict=True)) - sum_left * sum_right
    spread_left = many * sum(a * a for a in left) - sum_left**2
    spread_right = many * sum(b * b for b in right) - sum_right**2
    return Fraction(shared * abs(shared), spread_left * spread_right)


# ----------------------------------------------------------------

@record
class Unread:
    """A name that a cipher cannot read."""

    name: str
    cipher: OfferedCipher
    why: str
    cure: str


@record
class NameReading:
    """A name's notes under one cipher."""

    name: str
    cipher: OfferedCipher
    letters: int
    """How many letters the name has."""
    soundings: tuple[SoundingLetter, ...]
    """The letters that sound, with rests left out; one a pitch."""
    pitches: tuple[Pitch, ...]
    set_class: SetClass
    keys: tuple[KeyFit, ...]
    modes: tuple[ModeFit, ...]
    chord: ChordName | None
    alike: tuple[OfferedCipher, ...] = ()
    """Other ciphers that give the name the same notes."""

    @property
    def intervals(self) -> tuple[Interval, ...]:
        """From each note to the next."""
        return tuple(later - earlier for earlier, later in pairwise(self.pitches))

    @property
    def contour(self) -> str:
        """Up, down and level from note to note, as `/`, `\\` and `-`."""
        return "".join(
            "/" if i.semitones > 0 else "\\" if i.semitones < 0 else "-" for i in self.intervals
        )

    @property
    def lowest(self) -> Pitch:
        """The lowest note."""
        return min(self.pitches, key=lambda p: (p.midi, p.position))

    @property
    def highest(self) -> Pitch:
        """The highest note."""
        return max(self.pitches, key=lambda p: (p.midi, p.position))

    @property
    def recurring(self) -> dict[str, int]:
        """The notes that come more than once, and how often."""
        counts = Counter(str(pitch.pitch_class) for pitch in self.pitches)
        return {note: count for note, count in counts.items() if count > 1}

    @property
    def at_once_again(self) -> int:
        """How many notes repeat the one just before."""
        return sum(a == b for a, b in pairwise(self.pitches))

    @property
    def silent(self) -> int:
        """How many letters do not sound."""
        heard = {place for s in self.soundings for place in range(s.position, s.position + len(name_signs(s.letters)))}
        return self.letters - len(heard)

    @property
    def own_notes(self) -> int:
        """How many letters sound a note of their own name, sharp or flat or neither."""
        return sum(s.letters[:1] == str(p.pitch_class)[0] for s, p in zip(self.soundings, self.pitches, strict=True))

    @property
    def retrograde(self) -> tuple[Pitch, ...]:
        """The line in retrograde."""
        return self.pitches[::-1]

    @property
    def inversion(self) -> tuple[Pitch, ...] | None:
        """The line inverted about its first note; None where that would leave the range."""
        try:
            return tuple(writable(pitch.inverted(self.pitches[0])) for pitch in self.pitches)
        except Refusal:
            return None


def name_reading(name: str, offered: OfferedCipher) -> NameReading | Unread:
    """Read a name by a cipher and look at its notes."""
    try:
        laid = laid_out(name, offered.cipher)
    except Refusal as refusal:
        return Unread(name, offered, refusal.message, refusal.cure)
    sounding = [(s, pitch) for s, pitch in laid if pitch is not None]
    pitches = tuple(pitch for _, pitch in sounding)
    weights = Counter(pitch.pitch_class.semitone for pitch in pitches)
    return NameReading(
        name,
        offered,
        len(name_signs(name)),
        tuple(s for s, _ in sounding),
        pitches,
        set_class(weights),
        key_fits({pitch_class: Fraction(count) for pitch_class, count in weights.items()}),
        mode_fits(pitches),
        chord_name(pitches),
    )


MOST_SIGNS_OF_KEY = 7
"""A signature has so many sharps or flats at most."""
_USUAL_TONICS = {
    "major": ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"),
    "minor": ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"),
}


def key_text(reading: NameReading, fit: KeyFit) -> str:
    """A key's name, its tonic spelled as the name spells it where that key has a signature, else with the fewest signs.

    Db minor would need eight flats: it is C# minor.
    """
    for pitch in reading.pitches:
        tonic = pitch.pitch_class
        if tonic.semitone == fit.tonic and abs(Mode(tonic, fit.mode).fifths) <= MOST_SIGNS_OF_KEY:
            return f"{tonic} {fit.mode}"
    return f"{_USUAL_TONICS[fit.mode][fit.tonic]} {fit.mode}"
