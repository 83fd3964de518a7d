"""Modes and keys: degrees over a tonic, and the signature that some of them are written with."""

from __future__ import annotations

from functools import lru_cache

from cavata.music.pitch import Interval, Pitch, PitchClass, fifths
from cavata.record import record

DEGREES: dict[str, tuple[int, ...]] = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 8, 10),
    "dorian": (0, 2, 3, 5, 7, 9, 10),
    "phrygian": (0, 1, 3, 5, 7, 8, 10),
    "lydian": (0, 2, 4, 6, 7, 9, 11),
    "mixolydian": (0, 2, 4, 5, 7, 9, 10),
    "aeolian": (0, 2, 3, 5, 7, 8, 10),
    "locrian": (0, 1, 3, 5, 6, 8, 10),
}
"""Semitones of the seven degrees above the tonic, for the modes that have a signature. Source: common practice."""

_SEVEN = (0, 1, 2, 3, 4, 5, 6)
FURTHER: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {
    "harmonic_minor": (_SEVEN, (0, 2, 3, 5, 7, 8, 11)),
    "melodic_minor": (_SEVEN, (0, 2, 3, 5, 7, 9, 11)),
    "octatonic_tone": ((0, 1, 2, 3, 4, 5, 5, 6), (0, 2, 3, 5, 6, 8, 9, 11)),
    "octatonic_semitone": ((0, 1, 2, 2, 3, 4, 5, 6), (0, 1, 3, 4, 6, 7, 9, 10)),
    "whole_tone": ((0, 1, 2, 3, 4, 5), (0, 2, 4, 6, 8, 10)),
    "major_pentatonic": ((0, 1, 2, 4, 5), (0, 2, 4, 7, 9)),
    "minor_pentatonic": ((0, 2, 3, 4, 6), (0, 3, 5, 7, 10)),
    "chromatic": ((0, 0, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6), (0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11)),
}
"""Modes without a signature of their own: the letters and the semitones of their degrees above the tonic.

`melodic_minor` is the rising form; an octatonic mode is called by its first step. Source: common practice.
"""
_BY_SOUND = frozenset(("octatonic_tone", "octatonic_semitone", "whole_tone", "chromatic"))
"""Modes that no letters belong to: a white key of the keyboard has its plain name in them."""

MODES = (*DEGREES, *FURTHER)
"""Every mode that is written as a tonic and a name."""

# How many fifths the signature lies from that of the major mode on the same tonic.
_SIGNATURE_SHIFT = {
    "major": 0, "minor": -3, "dorian": -2, "phrygian": -4,
    "lydian": 1, "mixolydian": -1, "aeolian": -3, "locrian": -5,
}  # fmt: skip
_TONIC_OCTAVE = 4


WIDEST_SIGNATURE = 7
"""The most sharps or flats of a signature."""


@record
class Mode:
    """A tonic and the name of a mode over it, as `D minor`; a script's own mode brings its degrees along."""

    tonic: PitchClass
    name: str
    own: tuple[PitchClass, ...] = ()
    """The degrees of a mode that a script defines, rising from its tonic; none for one of MODES."""

    @property
    def fifths(self) -> int:
        """Sharps of the signature, or flats if negative, of a mode that has one."""
        return fifths(self.tonic) + _SIGNATURE_SHIFT[self.name]

    @property
    def signs(self) -> str:
        """Its signature in words: `3 sharps`."""
        return f"{abs(self.fifths)} {'sharps' if self.fifths > 0 else 'flats'}"

    @property
    def ladder(self) -> tuple[Pitch, ...]:
        """One octave of its degrees, rising from the tonic above middle C."""
        return _ladder(self)

    @property
    def degrees(self) -> tuple[PitchClass, ...]:
        """Its note names, rising from the tonic."""
        return tuple(pitch.pitch_class for pitch in self.ladder)

    @property
    def by_letter(self) -> bool:
        """Whether each of the seven letters is one of its degrees, so that degrees are places of the staff."""
        return _by_letter(self)

    def alteration(self, letter: int) -> int:
        """The alteration that a mode `by_letter` gives a letter (0 for C to 6 for B)."""
        return self.ladder[(letter - self.tonic.letter) % 7].alter

    def over(self, tonic: PitchClass) -> Mode:
        """The same mode over another tonic."""
        if not self.own:
            return Mode(tonic, self.name)
        start = Pitch.of(tonic, _TONIC_OCTAVE)
        return Mode(tonic, self.name, tuple((start + (p - self.ladder[0])).pitch_class for p in self.ladder))

    def __str__(self) -> str:
        return self.name if self.own else f"{self.tonic} {self.name}"


@lru_cache(maxsize=512)
def _ladder(mode: Mode) -> tuple[Pitch, ...]:
    start = Pitch.of(mode.tonic, _TONIC_OCTAVE)
    if mode.own:
        return tuple(_within_octave(start, degree) for degree in mode.own)
    letters, semitones = FURTHER.get(mode.name) or (_SEVEN, DEGREES[mode.name])
    pitches = tuple(
        Pitch(start.position + letter, start.midi + semitone - Pitch(start.position + letter, 0).midi)
        for letter, semitone in zip(letters, semitones, strict=True)
    )
    return tuple(map(_simplest, pitches)) if mode.name in _BY_SOUND else pitches


@lru_cache(maxsize=512)
def _by_letter(mode: Mode) -> bool:
    ladder = mode.ladder
    return tuple(pitch.position - ladder[0].position for pitch in ladder) == _SEVEN


def _within_octave(start: Pitch, degree: PitchClass) -> Pitch:
    """The pitch of that name that sounds less than an octave above the first one."""
    found = Pitch.of(degree, _TONIC_OCTAVE)
    return found.shifted(-((found.midi - start.midi) // 12))


def _simplest(pitch: Pitch) -> Pitch:
    """A white key by its own name, else the pitch as it is; of a double accidental the nearest simple name."""
    for away in (0, 1, -1, 2, -2):
        plain = Pitch(pitch.position + away, 0)
        if plain.midi == pitch.midi:
            return plain
    if abs(pitch.alter) < 2:
        return pitch
    position = pitch.position + (1 if pitch.alter > 0 else -1)
    return Pitch(position, pitch.midi - Pitch(position, 0).midi)


# ------------------------------------------------------------------ moving along the degrees


def moved(pitch: Pitch, degrees: int, mode: Mode) -> Pitch:
    """The pitch so many degrees higher; a foreign note stays as far from the degree that it goes by."""
    if mode.by_letter:
        foreign = pitch.alter - mode.alteration(pitch.letter)
        position = pitch.position + degrees
        return Pitch(position, mode.alteration(position % 7) + foreign)
    number, distance = located(pitch, mode)
    return degree(number + degrees, mode).exactly(distance)


def inverted_by_degrees(pitch: Pitch, axis: Pitch, mode: Mode) -> Pitch:
    """The pitch as many degrees below the axis as it lay above; what was foreign by a rise is so by a fall."""
    if mode.by_letter:
        foreign = pitch.alter - mode.alteration(pitch.letter)
        position = 2 * axis.position - pitch.position
        return Pitch(position, mode.alteration(position % 7) - foreign)
    number, distance = located(pitch, mode)
    return degree(2 * located(axis, mode)[0] - number, mode).exactly(-distance)


def native(pitch: Pitch, mode: Mode) -> Pitch:
    """The degree that a pitch goes by."""
    if mode.by_letter:
        return Pitch(pitch.position, mode.alteration(pitch.letter))
    return degree(located(pitch, mode)[0], mode)


def above(pitch: Pitch, mode: Mode) -> Pitch:
    """The mode's next note above a pitch."""
    if not mode.by_letter:
        return degree(located(pitch, mode)[0] + 1, mode)
    position = pitch.position + 1
    found = Pitch(position, mode.alteration(position % 7))
    # From a note so far from the mode that its neighbor would not lie above it.
    return Pitch(position, found.alter + 1) if found.midi <= pitch.midi else found


def between(start: Pitch, end: Pitch, mode: Mode) -> Pitch | None:
    """The mode's note in the middle of a third, which is two degrees; None for any other distance."""
    if mode.by_letter:
        if abs(end.position - start.position) != 2:
            return None
        position = (start.position + end.position) // 2
        middle = Pitch(position, mode.alteration(position % 7))
    else:
        first, last = located(start, mode), located(end, mode)
        if abs(last[0] - first[0]) != 2 or first[1].semitones or last[1].semitones:
            return None
        middle = degree((first[0] + last[0]) // 2, mode)
    return middle if min(start.midi, end.midi) < middle.midi < max(start.midi, end.midi) else None


def degree(number: int, mode: Mode) -> Pitch:
    """The degree of that number, counted from 0 for the tonic above middle C, beyond the octave both ways."""
    octave, place = divmod(number, len(mode.ladder))
    return mode.ladder[place].shifted(octave)


def located(pitch: Pitch, mode: Mode) -> tuple[int, Interval]:
    """The nearest degree that sounds no higher than a pitch, and how far above it the pitch lies.

    What sounds as a degree is that degree, however it is spelled.
    """
    ladder = mode.ladder
    octave = (pitch.midi - ladder[0].midi) // 12
    place = max(i for i, p in enumerate(ladder) if p.midi + 12 * octave <= pitch.midi)
    number = octave * len(ladder) + place
    distance = pitch - degree(number, mode)
    return number, distance if distance.semitones else Interval(0, 0)
