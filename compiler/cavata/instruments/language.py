"""The languages in which instruments are named on the page, and how each names the key of a transposing instrument."""

from __future__ import annotations

from enum import Enum


class Language(Enum):
    """A language of the page; English is what holds where nothing is said."""

    ENGLISH = "English"
    ITALIAN = "Italian"
    GERMAN = "German"
    FRENCH = "French"


_JOINTS = {Language.ENGLISH: "in", Language.ITALIAN: "in", Language.GERMAN: "in", Language.FRENCH: "en"}
_KEYS = {
    Language.ITALIAN: {"C": "Do", "D": "Re", "E♭": "Mi♭", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B♭": "Si♭"},
    Language.GERMAN: {"C": "C", "D": "D", "E♭": "Es", "E": "E", "F": "F", "G": "G", "A": "A", "B♭": "B"},
    Language.FRENCH: {"C": "ut", "D": "ré", "E♭": "mi♭", "E": "mi", "F": "fa", "G": "sol", "A": "la", "B♭": "si♭"},
}
"""Names of notes on the title page of a part. Source: common practice."""


def language_called(word: str) -> Language | None:
    """The language of an English word, `Italian` or `italian`."""
    return next((language for language in Language if language.value.casefold() == word.casefold()), None)


def key_in(language: Language, key: str) -> str:
    """The English name of a note, `E♭`, in another language: `Es`, `mi♭`."""
    return _KEYS[language][key] if language in _KEYS else key


def joint_of(language: Language) -> str:
    """The word between an instrument and its key."""
    return _JOINTS[language]
