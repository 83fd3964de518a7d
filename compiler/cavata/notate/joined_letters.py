"""Syllables of a script whose letters are joined: Arabic keeps the forms its letters have inside their word.

In: a syllable, and the one of its word before it. Out: its text with a joiner, which is not seen, where a letter is
joined to one of the next syllable or the one before. Source: the Unicode Standard, 9.2 (cursive joining) and 23.2
(U+200D ZERO WIDTH JOINER); the letters that are joined on one side only are those of joining type R in
`ArabicShaping.txt`, from memory.
"""

from __future__ import annotations

import unicodedata

JOINER = "\u200d"
_NOT_JOINED_TO_THE_NEXT = frozenset("\u0621اآأإٱدذرزوؤةژڑڈۀەۃۄۆۇۈۋۏ")


def joined(text: str, before: str, goes_on: bool) -> str:
    """The text of a syllable; `before` is the syllable that leads to it with a hyphen, if one does."""
    begins = JOINER if before and _joins_on(before) and _is_joined(_letters(text)[:1]) else ""
    return begins + text + (JOINER if goes_on and _joins_on(text) else "")


def _joins_on(text: str) -> bool:
    """Whether the last letter is joined to what follows."""
    last = _letters(text)[-1:]
    return _is_joined(last) and last not in _NOT_JOINED_TO_THE_NEXT


def _is_joined(letter: str) -> bool:
    return bool(letter) and unicodedata.name(letter, "").startswith("ARABIC LETTER") and letter != "\u0621"


def _letters(text: str) -> str:
    """The letters without the marks that stand on them."""
    return "".join(sign for sign in text if not unicodedata.category(sign).startswith("M"))
