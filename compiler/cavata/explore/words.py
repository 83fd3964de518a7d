"""The words of `cavata explore`: criteria and requirements, as help, tables and messages say them."""

from __future__ import annotations

CRITERIA_TEXTS: dict[str, tuple[bool, str]] = {
    "few-inflections": (True, "notes inflected"),
    "singable": (True, "sum of all leaps in semitones"),
    "true-leaps": (True, "augmented and diminished leaps"),
    "key": (False, "correlation with the best major or minor key"),
    "in-mode": (True, "notes outside the mode of --mode"),
    "variety": (False, "different notes of the twelve"),
    "consonant": (True, "harshness of all notes together, for --colour"),
    "harsh": (False, "harshness of all notes together, for --colour"),
    "comfortable": (True, "semitones outside the comfortable range of --for"),
    "near": (True, "semitones by which leaps differ from those of --near"),
    "opening": (True, "semitones by which the first leap differs from that of --opening"),
}
"""Every criterion with whether less is better, and what is counted, in the order of the table's columns."""

FORMS = (
    ("first letter sharp", "also `last`, `letter 3` or `note 3`; `flat`, `natural`: its accidental as it sounds"),
    ("begins on F#", "the first note, in any octave"),
    ("ends on A", "the last note, in any octave"),
    ("in D minor", "no note outside a mode; also a mode of the piece by its name"),
    ("fits clarinet", "every note within the instrument's range"),
    ("no augmented second", "not this leap, spelled so; any augmented or diminished one to the octave"),
    ("no awkward leap", "no augmented or diminished leap at all"),
    ("no leap over P5", "no leap wider than an interval"),
    ("at most 1 inflected", "so many notes inflected, or fewer"),
    ("all different", "no note of the twelve twice"),
)
"""Every form of requirement with what it means."""
