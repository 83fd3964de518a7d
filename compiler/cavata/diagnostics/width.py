"""How much room text takes where every sign has one width, as in a terminal or an editor.

Source: Unicode Standard Annex 11 (East Asian Width): wide and full-width signs take two columns; marks that stand over
or under another sign, and signs that are not seen, take none.
"""

from __future__ import annotations

import unicodedata

_UNSEEN = frozenset(["Mn", "Me", "Cf"])
_JAMO = range(0x1160, 0x1200)
"""The vowels and final consonants of Hangul, which are written into the syllable's square."""


def columns(text: str) -> int:
    """The columns of a text."""
    return len(text) if text.isascii() else sum(map(column_width, text))


def column_width(sign: str) -> int:
    """0, 1 or 2."""
    if unicodedata.category(sign) in _UNSEEN or ord(sign) in _JAMO:
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1
