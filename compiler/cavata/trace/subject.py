"""What is looked for: a name's notes, or notes written out, and the forms in which they may come."""

from __future__ import annotations

from enum import Enum

from cavata.ciphers.cipher import Cipher, lay_out_octaves
from cavata.music.pitch import Pitch, PitchClass, parse_pitch_class
from cavata.record import record
from cavata.study.library_ciphers import OfferedCipher
from cavata.study.reading import NameReading, name_reading

FEWEST_NOTES, MOST_NOTES = 3, 40
"""Two notes are found everywhere; beyond forty nothing is called a name."""


class LineForm(Enum):
    """Which way a line runs."""

    PRIME = "prime"
    INVERSION = "inversion"
    RETROGRADE = "retrograde"
    RETROGRADE_INVERSION = "retrograde inversion"


@record
class Subject:
    """Notes to look for."""

    name: str
    """The name as it was given, or the notes."""
    cipher: str
    """Empty for notes written out."""
    pitches: tuple[Pitch, ...]
    """Laid out as the language lays out a name: each nearest to the one before."""
    letters: tuple[str, ...] = ()
    """The letter of each note; empty for notes written out."""

    @property
    def steps(self) -> tuple[int, ...]:
        """Semitones from note to note."""
        return tuple(b.midi - a.midi for a, b in zip(self.pitches, self.pitches[1:], strict=False))

    @property
    def notes(self) -> str:
        """The note names."""
        return " ".join(str(pitch.pitch_class) for pitch in self.pitches)


@record
class Sought:
    """A name with everything that it may be in notes."""

    name: str
    subjects: tuple[Subject, ...]
    """One for each cipher that gives it other notes."""
    ciphers: tuple[Cipher | None, ...]
    """Of each subject; None for notes written out."""


@record
class FormedSubject:
    """A subject in one form, ready for comparing."""

    form: LineForm
    also: tuple[LineForm, ...]
    """Other forms with the same intervals, as the retrograde of B A C H, which is its inversion."""
    steps: tuple[int, ...]
    first: int
    """The pitch class of its first note when it is not transposed."""
    letters: tuple[PitchClass, ...]
    """The spelled notes in this form's order; empty for inversions, which have no letters of their own."""


def shapes(subject: Subject) -> tuple[FormedSubject, ...]:
    """The subject's different forms, each once, told by the first of its names."""
    steps, pitches = subject.steps, subject.pitches
    classes = tuple(pitch.pitch_class for pitch in pitches)
    inverted_last = 2 * pitches[0].midi - pitches[-1].midi
    every = [
        (LineForm.PRIME, steps, pitches[0].midi, classes),
        (LineForm.INVERSION, tuple(-s for s in steps), pitches[0].midi, ()),
        (LineForm.RETROGRADE, tuple(-s for s in steps[::-1]), pitches[-1].midi, classes[::-1]),
        (LineForm.RETROGRADE_INVERSION, steps[::-1], inverted_last, ()),
    ]
    found: dict[tuple[int, ...], FormedSubject] = {}
    for form, own, first, letters in every:
        known = found.get(own)
        if known is None:
            found[own] = FormedSubject(form, (), own, first % 12, letters)
        else:
            found[own] = FormedSubject(known.form, (*known.also, form), own, known.first, known.letters)
    return tuple(found.values())


def subject_of_notes(text: str) -> Subject:
    """Notes written out as `Bb A C B`; raises ValueError with the word that is no note."""
    classes = [parse_pitch_class(word) for word in text.replace(",", " ").split()]
    laid = tuple(pitch for pitch in lay_out_octaves(tuple(classes)) if pitch is not None)
    return Subject(" ".join(map(str, classes)), "", laid)


def subject_of_reading(reading: NameReading) -> Subject:
    """A name as a cipher reads it."""
    letters = tuple(sounding.letters for sounding in reading.soundings)
    return Subject(reading.name, reading.cipher.cipher.name, reading.pitches, letters)


def sought_notes(text: str) -> Sought:
    """Notes written out; raises ValueError with the word that is no note."""
    subject = subject_of_notes(text)
    return Sought(subject.name, (subject,), (None,))


def sought_name(name: str, ciphers: tuple[OfferedCipher, ...], chosen: bool) -> Sought | None:
    """A name by every cipher that lets all its letters sound; None where none gives it a note.

    German stands first, and readings with the same notes are one. Where no cipher lets every letter sound, or where
    the ciphers were `chosen`, silent letters are passed over: then every cipher that is offered counts.
    """
    order = sorted(ciphers, key=lambda offered: (not offered.file, offered.cipher.name != "german"))
    readings = [r for r in (name_reading(name, offered) for offered in order) if isinstance(r, NameReading)]
    whole = [r for r in readings if not r.silent and len(r.pitches) >= FEWEST_NOTES]
    found: dict[tuple[Pitch, ...], NameReading] = {}
    for reading in readings if chosen or not whole else whole:
        found.setdefault(reading.pitches, reading)
    if not found:
        return None
    subjects = tuple(subject_of_reading(reading) for reading in found.values())
    return Sought(name, subjects, tuple(reading.cipher.cipher for reading in found.values()))
