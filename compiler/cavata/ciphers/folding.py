"""Letters as a cipher sees them: capitals, accents folded, ligatures opened.

Source of the folding: the decompositions of the Unicode standard; the letters it does not decompose
are written out as is customary (common practice).
"""

from __future__ import annotations

import unicodedata

from cavata.record import dataclass

PASSED_OVER = frozenset(" \u00a0-\u2010\u2011\u2013'\u2019\u02bc")
"""Spaces, hyphens and apostrophes make no sound and are not counted."""

_WRITTEN_OUT = {
    "ß": "SS", "ẞ": "SS", "Æ": "AE", "Œ": "OE", "Ĳ": "IJ", "Ø": "O", "Ł": "L", "Đ": "D", "Ð": "D",
    "Þ": "TH", "Ħ": "H", "ı": "I", "İ": "I", "Ŋ": "NG", "ſ": "S",
    "ﬀ": "FF", "ﬁ": "FI", "ﬂ": "FL", "ﬃ": "FFI", "ﬄ": "FFL", "ﬅ": "ST", "ﬆ": "ST",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sign:
    """One letter of a written name."""

    text: str
    """As written, in capitals where it has one."""
    folded: str
    """Its base letter, or the two letters it stands for."""
    position: int
    """Which letter of the name it is, counted from 1."""
    offset: int
    """Where it stands in the text, counted from 0."""
    begins_word: bool


def signs(text: str) -> tuple[Sign, ...]:
    """The letters of a name in order; signs that are no letters come along, for the cipher to refuse."""
    found: list[Sign] = []
    begins = True
    for offset, char in enumerate(unicodedata.normalize("NFC", text)):
        if char in PASSED_OVER:
            begins = True
            continue
        written = char if len(char.upper()) > 1 else char.upper()
        found.append(Sign(written, _fold(char), len(found) + 1, offset, begins))
        begins = False
    return tuple(found)


def _fold(char: str) -> str:
    if char in _WRITTEN_OUT or char.upper() in _WRITTEN_OUT:
        return _WRITTEN_OUT.get(char) or _WRITTEN_OUT[char.upper()]
    bare = "".join(c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c))
    return bare.upper() or char
