"""International Morse code: letters and digits as signals with lengths, and the silences between them.

Source: Recommendation ITU-R M.1677-1 (10/2009): a dash is three dots long, the space inside a letter one, between
letters three, between words seven.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from cavata.ciphers.cipher import NameSign, name_signs
from cavata.diagnostics import Refusal
from cavata.record import record

# ----------------------------------------------------------------
# Number alphabets: what each letter counts.
#
# With 26 letters A is 1 and Z is 26; with 24, I and J both are 9, and U and V both are 20, so that Z is 24. Source:
# common practice of number alphabets; the one of 24 letters gives BACH 14 and J. S. BACH 41.


ALPHABETS = {26: "ABCDEFGHIJKLMNOPQRSTUVWXYZ", 24: "ABCDEFGHIKLMNOPQRSTUWXYZ"}
_AS = {24: {"J": "I", "V": "U"}, 26: {}}
"""Letters that count as another one."""


def numbers(text: str, alphabet: int) -> Iterator[tuple[NameSign, int]]:
    """Every letter of a text with what it counts; a ligature counts as its letters, one by one.

    Spaces, hyphens and apostrophes are ignored. Refuses with V603 a sign that is no letter, with V602 a text that
    has none.
    """
    written = name_signs(text)
    if not written:
        raise Refusal("V602", "there is no letter to make a rhythm of", "no letter", "")
    for sign in written:
        for letter in sign.folded:
            counted = _AS[alphabet].get(letter, letter)
            if counted not in ALPHABETS[alphabet]:
                message = f"`{sign.text}` is no letter of the alphabet"
                raise Refusal("V603", message, "", "the alphabet runs A to Z", (0, sign.offset))
            yield sign, ALPHABETS[alphabet].index(counted) + 1


# ----------------------------------------------------------------

CODES = {
    "A": ".-", "B": "-...", "C": "-.-.", "D": "-..", "E": ".", "F": "..-.", "G": "--.", "H": "....", "I": "..",
    "J": ".---", "K": "-.-", "L": ".-..", "M": "--", "N": "-.", "O": "---", "P": ".--.", "Q": "--.-", "R": ".-.",
    "S": "...", "T": "-", "U": "..-", "V": "...-", "W": ".--", "X": "-..-", "Y": "-.--", "Z": "--..", "É": "..-..",
    "1": ".----", "2": "..---", "3": "...--", "4": "....-", "5": ".....",
    "6": "-....", "7": "--...", "8": "---..", "9": "----.", "0": "-----",
}  # fmt: skip
"""Letters and figures. Source: ITU-R M.1677-1, part I, 1.1.1 and 1.1.2."""
LENGTHS = {".": 1, "-": 3}
INSIDE, BETWEEN_LETTERS, BETWEEN_WORDS = 1, 3, 7
"""Silences, in dots."""


@record
class Signal:
    """A dot, a dash or a silence: its length in dots, and the letter that it belongs to; None for a silence."""

    units: int
    sign: NameSign | None


def signals(text: str) -> Iterator[Signal]:
    """The signals of a text in order. A space before or after it is a word's silence too, for a text that goes round.

    Hyphens and apostrophes are ignored. Refuses with V601 a sign without a code, with V602 a text without letters.
    """
    written = name_signs(text)
    if not written:
        raise Refusal("V602", "there is no letter to make a rhythm of", "no letter or digit", "")
    plain = unicodedata.normalize("NFC", text)
    end = 0
    for number, sign in enumerate(written):
        parted = any(char.isspace() for char in plain[end : sign.offset])
        if number or parted:
            yield Signal(BETWEEN_WORDS if parted else BETWEEN_LETTERS, None)
        yield from _letter(sign)
        end = sign.offset + 1
    if any(char.isspace() for char in plain[end:]):
        yield Signal(BETWEEN_WORDS, None)


def _letter(sign: NameSign) -> Iterator[Signal]:
    """One sign; an opened ligature is two letters."""
    codes = [CODES.get(sign.text)] if sign.text in CODES else [CODES.get(letter) for letter in sign.folded]
    for number, code in enumerate(codes):
        if code is None:
            raise Refusal(
                "V601", f"`{sign.text}` has no Morse code here", "", "letters and digits have one", (0, sign.offset)
            )
        if number:
            yield Signal(BETWEEN_LETTERS, None)
        for place, mark in enumerate(code):
            if place:
                yield Signal(INSIDE, None)
            yield Signal(LENGTHS[mark], sign)
