"""Spelled pitches and intervals: F#4 and Gb4 stay different, and arithmetic keeps spellings.

A pitch is a staff position and an alteration. Positions count staff steps from C0, so C4 is 28;
semitones count as in the MIDI standard (C4 = 60, A4 = 69). An interval is the pair of differences.
"""

from __future__ import annotations

import re
from functools import lru_cache

from cavata.diagnostics import Refusal
from cavata.record import record

LETTERS = "CDEFGAB"
NATURAL_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
ACCIDENTALS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
ALTERATIONS = {text: alter for alter, text in ACCIDENTALS.items()}
PITCH_PATTERN = re.compile(r"([A-G])(##|bb|#|b|)(-?\d+)?")
MOST_SIGNS = 2
"""Sharps or flats of one note: a double accidental."""
FIFTHS_OF_LETTER = (0, 2, 4, -1, 1, 3, 5)
"""How many fifths each letter lies above C."""
LOWEST_OCTAVE, HIGHEST_OCTAVE = 0, 9

INTERVAL_PATTERN = re.compile(r"(m|M|P|aug|dim)(\d+)")
_PERFECT_STEPS = frozenset((0, 3, 4))


@record
class PitchClass:
    """A note name without an octave: a letter (0 for C to 6 for B) and an alteration in semitones."""

    letter: int
    alter: int

    @property
    def semitone(self) -> int:
        """The key of the keyboard it falls on, 0 to 11 from C."""
        return (NATURAL_SEMITONES[self.letter] + self.alter) % 12

    def __str__(self) -> str:
        return LETTERS[self.letter] + ("#" * self.alter or "b" * -self.alter)


@record
class Interval:
    """A directed interval: staff steps and semitones, both negative when it leads down."""

    steps: int
    semitones: int

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def __mul__(self, times: int) -> Interval:
        return Interval(self.steps * times, self.semitones * times)

    def __str__(self) -> str:
        """Quality and size without direction, as `M3`."""
        steps, semitones = (self.steps, self.semitones) if self.steps >= 0 else (-self.steps, -self.semitones)
        octaves, step = divmod(steps, 7)
        excess = semitones - 12 * octaves - NATURAL_SEMITONES[step]
        if step in _PERFECT_STEPS:
            quality = {0: "P", 1: "aug", -1: "dim"}.get(excess)
        else:
            quality = {0: "M", -1: "m", 1: "aug", -2: "dim"}.get(excess)
        return f"{quality or f'({excess:+d})'}{steps + 1}"


@record
class Pitch:
    """A sounding, spelled pitch: its place on the staff and its alteration in semitones."""

    position: int
    alter: int

    @classmethod
    def of(cls, pitch_class: PitchClass, octave: int) -> Pitch:
        """The pitch of that class in the octave of scientific pitch notation (A4 = 440 Hz)."""
        return cls(octave * 7 + pitch_class.letter, pitch_class.alter)

    @property
    def letter(self) -> int:
        """The letter, 0 for C to 6 for B."""
        return self.position % 7

    @property
    def octave(self) -> int:
        """The octave of scientific pitch notation."""
        return self.position // 7

    @property
    def midi(self) -> int:
        """The key number of the MIDI standard: C4 is 60."""
        octave, letter = divmod(self.position, 7)
        return 12 * (octave + 1) + NATURAL_SEMITONES[letter] + self.alter

    @property
    def pitch_class(self) -> PitchClass:
        """The pitch without its octave."""
        return PitchClass(self.position % 7, self.alter)

    def __add__(self, interval: Interval) -> Pitch:
        """Transposed and `writable`: spelled as the interval says, unless that would pass a double accidental."""
        return writable(self.exactly(interval))

    def exactly(self, interval: Interval) -> Pitch:
        """Transposed, spelled as the interval says, however many signs that takes."""
        return _spelled(self.position + interval.steps, self.midi + interval.semitones)

    def __sub__(self, other: Pitch) -> Interval:
        """The interval that leads from the other pitch to this one."""
        return Interval(self.position - other.position, self.midi - other.midi)

    def shifted(self, octaves: int) -> Pitch:
        """The same note name so many octaves higher."""
        return Pitch(self.position + 7 * octaves, self.alter)

    def inverted(self, axis: Pitch) -> Pitch:
        """What lay an interval above the axis lies that interval below it, spelled so, however many signs it takes."""
        return _spelled(2 * axis.position - self.position, 2 * axis.midi - self.midi)

    def __str__(self) -> str:
        return f"{self.pitch_class}{self.octave}"


@lru_cache(maxsize=4096)
def _spelled(position: int, midi: int) -> Pitch:
    return Pitch(position, midi - Pitch(position, 0).midi)


def readable(pitch: Pitch) -> Pitch:
    """The pitch as it is, or `simplest` where it has more than a double accidental; wherever it lies."""
    return pitch if abs(pitch.alter) <= MOST_SIGNS else simplest(pitch)


def writable(pitch: Pitch) -> Pitch:
    """The pitch, `readable`.

    Refuses with V211 what leaves the range C0 to B9.
    """
    pitch = readable(pitch)
    if not LOWEST_OCTAVE * 7 <= pitch.position < (HIGHEST_OCTAVE + 1) * 7:
        raise Refusal("V211", "a note would leave the range C0 to B9", "", "move the line less far")
    return pitch


def renamed(pitch: Pitch, steps: int) -> Pitch:
    """What sounds, written so many places higher on the staff, however many signs that takes."""
    return _spelled(pitch.position + steps, pitch.midi)


def simplest(pitch: Pitch) -> Pitch:
    """The name with the fewest signs for what sounds; of a black key the one nearer on the line of fifths."""
    near = pitch.midi * 7 // 12 - 7
    names = (_spelled(position, pitch.midi) for position in (near - 1, near, near + 1))
    return min(names, key=lambda name: (abs(name.alter), abs(fifths(name.pitch_class) - fifths(pitch.pitch_class))))


def fifths(pitch_class: PitchClass) -> int:
    """Its place on the line of fifths: C is 0, G 1, F -1; each sharp lies seven fifths on."""
    return FIFTHS_OF_LETTER[pitch_class.letter] + 7 * pitch_class.alter


def plain_accidentals(text: str) -> str:
    """The accidental signs of type (♯ ♭ 𝄪 𝄫) written with `#` and `b`."""
    return text.replace("♯", "#").replace("♭", "b").replace("𝄪", "##").replace("𝄫", "bb")


def parse_pitch_class(text: str) -> PitchClass:
    """Read `F#`; the text must be one (ValueError)."""
    match = PITCH_PATTERN.fullmatch(plain_accidentals(text))
    if match is None or match[3] is not None:
        raise ValueError(f"not a pitch class: {text}")
    return PitchClass(LETTERS.index(match[1]), ALTERATIONS[match[2]])


def parse_pitch(text: str) -> Pitch:
    """Read `F#4`; the text must be a pitch from C0 to B9 (ValueError)."""
    match = PITCH_PATTERN.fullmatch(plain_accidentals(text))
    if match is None or match[3] is None or not LOWEST_OCTAVE <= int(match[3]) <= HIGHEST_OCTAVE:
        raise ValueError(f"not a pitch: {text}")
    return Pitch.of(PitchClass(LETTERS.index(match[1]), ALTERATIONS[match[2]]), int(match[3]))


def parse_interval(text: str) -> Interval:
    """Read `m3` as the interval upward; the text must name one that exists (ValueError)."""
    match = INTERVAL_PATTERN.fullmatch(text)
    if match is None or not 1 <= int(match[2]) <= 50:
        raise ValueError(f"not an interval: {text}")
    octaves, step = divmod(int(match[2]) - 1, 7)
    allowed = {"P": 0, "aug": 1, "dim": -1} if step in _PERFECT_STEPS else {"M": 0, "m": -1, "aug": 1, "dim": -2}
    if match[1] not in allowed:
        raise ValueError(f"no such interval: {text}")
    return Interval(octaves * 7 + step, 12 * octaves + NATURAL_SEMITONES[step] + allowed[match[1]])


UNISON = Interval(0, 0)
SIZES = (
    "unison", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
    "twentieth", "twenty-first", "twenty-second",
)  # fmt: skip
"""What intervals are called, by their steps."""
MIDDLE_C = Pitch(28, 0)
MIDDLE_LINE = Pitch(34, 0)
"""B4, the middle line of the treble clef: where an unpitched note is kept and printed, whose clef has no pitch."""
