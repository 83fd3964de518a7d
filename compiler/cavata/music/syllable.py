"""A syllable that is sung to a note."""

from __future__ import annotations

from cavata.record import dataclass


@dataclass(frozen=True, slots=True)
class Syllable:
    """One syllable of a word, or the sign that the syllable before is held over this note too."""

    text: str
    """Empty where the syllable before is held."""
    goes_on: bool = False
    """Another syllable of the same word follows."""

    def __str__(self) -> str:
        """As a script writes it: `o-`, `pen`, `_`."""
        return (self.text or "_") + ("-" if self.goes_on else "")


HELD = Syllable("")
"""The syllable before is held over this note."""
