"""A name under one cipher, and everything that can be said of its notes.

In: the letters and a cipher. Out: a `Reading`, or a `Unread` that says why the cipher has no answer. Every note counts
the same: a name laid out is a line of quarter notes.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise

from cavata.ciphers.cipher import Sounding, lay_out, read_name
from cavata.ciphers.folding import signs
from cavata.music.pitch import Interval, Pitch
from cavata.music.refusal import Refusal
from cavata.record import dataclass
from cavata.study.chords import ChordName, chord_name
from cavata.study.key_fit import KeyFit, key_fits
from cavata.study.library_ciphers import OfferedCipher
from cavata.study.mode_fit import ModeFit, mode_fits
from cavata.study.set_class import SetClass, set_class


@dataclass(frozen=True, slots=True)
class Unread:
    """A name that a cipher cannot read."""

    name: str
    cipher: OfferedCipher
    why: str
    cure: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A name's notes under one cipher."""

    name: str
    cipher: OfferedCipher
    letters: int
    """How many letters the name has."""
    soundings: tuple[Sounding, ...]
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
        read = sum(len(s.letters) for s in {s.position: s for s in self.soundings}.values())
        return max(self.letters - read, 0)

    @property
    def own_notes(self) -> int:
        """How many letters sound a note of their own name, sharp or flat or neither."""
        return sum(s.letters[:1] == str(p.pitch_class)[0] for s, p in zip(self.soundings, self.pitches, strict=True))

    @property
    def retrograde(self) -> tuple[Pitch, ...]:
        """The line backwards."""
        return self.pitches[::-1]

    @property
    def inversion(self) -> tuple[Pitch, ...] | None:
        """The line turned over about its first note; None where that would need triple accidentals."""
        try:
            return tuple(pitch.mirrored(self.pitches[0]) for pitch in self.pitches)
        except Refusal:
            return None


def read(name: str, offered: OfferedCipher) -> Reading | Unread:
    """Read a name by a cipher and look at its notes."""
    try:
        soundings = read_name(name, offered.cipher)
        laid = lay_out(tuple(s.tone for s in soundings))
    except Refusal as refusal:
        return Unread(name, offered, refusal.message, refusal.cure)
    sounding = [(s, pitch) for s, pitch in zip(soundings, laid, strict=True) if pitch is not None]
    pitches = tuple(pitch for _, pitch in sounding)
    weights = Counter(pitch.pitch_class.semitone for pitch in pitches)
    return Reading(
        name,
        offered,
        len(signs(name)),
        tuple(s for s, _ in sounding),
        pitches,
        set_class(weights),
        key_fits({pitch_class: Fraction(count) for pitch_class, count in weights.items()}),
        mode_fits(pitches),
        chord_name(pitches),
    )


def key_text(reading: Reading, fit: KeyFit) -> str:
    """A key's name, its tonic spelled as the name spells it, else with the fewest signs."""
    for pitch in reading.pitches:
        if pitch.pitch_class.semitone == fit.tonic:
            return f"{pitch.pitch_class} {fit.mode}"
    usual = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B") if fit.mode == "major" else (
        "C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")  # fmt: skip
    return f"{usual[fit.tonic]} {fit.mode}"
