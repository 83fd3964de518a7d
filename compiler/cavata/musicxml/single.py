"""What one MusicXML document is made of; nothing here needs music21."""

from __future__ import annotations

from cavata.musicxml.staves import Staves, with_staves
from cavata.notate.written import WrittenScore
from cavata.record import record, replace


@record
class Single:
    """One movement of a score, and what holds for the whole."""

    score: WrittenScore
    """With this movement only."""
    number: int
    """Of the movement among all, from 1 on."""


def single(score: WrittenScore, movement: str, staves: Staves | None = None) -> Single:
    """A movement or cadenza of a score, with just these staves if they are given.

    Raises KeyError if the score has none of that name.
    """
    for number, found in enumerate(score.movements, 1):
        if found.name == movement:
            return Single(replace(score, movements=(with_staves(found, staves),)), number)
    raise KeyError(movement)
