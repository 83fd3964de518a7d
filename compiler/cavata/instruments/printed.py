"""What is printed beside the staves of an instrument."""

from __future__ import annotations

from cavata.instruments.instrument import Instrument
from cavata.instruments.language import Language
from cavata.instruments.words import capital


def printed_name(instrument: Instrument, plural: bool, language: Language = Language.ENGLISH) -> str:
    """The name before the first system: `Violin`, or `Violins` for a section; `Clarinets in B♭`."""
    if language is not Language.ENGLISH:
        from cavata.instruments.foreign import foreign_name

        return foreign_name(instrument, plural, language)
    if not plural:
        return instrument.name
    if instrument.key.startswith(instrument.name.lower() + " "):
        # A script says `bass voices`, so that nobody takes them for double basses; the page need not.
        return f"{instrument.name}es"
    _, joint, key = instrument.name.partition(" in ")
    return capital(instrument.plural.partition(" in ")[0]) + joint + key


def numbered(name: str, number: str) -> str:
    """A printed name with its number before the key: `Clarinet II in B♭`, `Cl. II (B♭)`; without a number as it is.

    Behind the key the number would be read as part of it, as in a German `B I`.
    """
    if not number:
        return name
    for joint in (" in ", " en ", " ("):
        head, found, key = name.rpartition(joint)
        if found:
            return f"{head} {number}{joint}{key}"
    return f"{name} {number}"


def printed_abbreviation(instrument: Instrument, language: Language = Language.ENGLISH) -> str:
    """The name before later systems."""
    if language is not Language.ENGLISH:
        from cavata.instruments.foreign import foreign_abbreviation

        return foreign_abbreviation(instrument, language)
    return instrument.abbreviation
