"""Number alphabets: what each letter counts.

With 26 letters A is 1 and Z is 26; with 24, I and J both are 9, and U and V both are 20, so that Z is 24. Source:
common practice of number alphabets; the one of 24 letters gives BACH 14 and J. S. BACH 41.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.ciphers.folding import Sign, signs
from cavata.music.refusal import Refusal

ALPHABETS = {26: "ABCDEFGHIJKLMNOPQRSTUVWXYZ", 24: "ABCDEFGHIKLMNOPQRSTUWXYZ"}
_AS = {24: {"J": "I", "V": "U"}, 26: {}}
"""Letters that count as another one."""


def numbers(text: str, alphabet: int) -> Iterator[tuple[Sign, int]]:
    """Every letter of a text with what it counts; a ligature counts as its letters, one by one.

    Spaces, hyphens and apostrophes are passed over. Refuses with V603 a sign that is no letter, with V602 a text that
    has none.
    """
    written = signs(text)
    if not written:
        raise Refusal("V602", "there is no letter to make a rhythm of", "no letter", "")
    for sign in written:
        for letter in sign.folded:
            counted = _AS[alphabet].get(letter, letter)
            if counted not in ALPHABETS[alphabet]:
                message = f"`{sign.text}` is no letter of the alphabet"
                raise Refusal("V603", message, "", "the alphabet runs A to Z", (0, sign.offset))
            yield sign, ALPHABETS[alphabet].index(counted) + 1
