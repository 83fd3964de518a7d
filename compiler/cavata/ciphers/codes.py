"""International Morse code: letters and digits as signals with lengths, and the silences between them.

Source: Recommendation ITU-R M.1677-1 (10/2009): a dash is three dots long, the space inside a letter one, between
letters three, between words seven.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from cavata.ciphers.folding import Sign, signs
from cavata.music.refusal import Refusal
from cavata.record import dataclass

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


@dataclass(frozen=True, slots=True)
class Signal:
    """A dot, a dash or a silence: its length in dots, and the letter that it belongs to; None for a silence."""

    units: int
    sign: Sign | None


def signals(text: str) -> Iterator[Signal]:
    """The signals of a text in order. A space before or after it is a word's silence too, for a text that goes round.

    Hyphens and apostrophes are passed over. Refuses with V601 a sign without a code, with V602 a text without letters.
    """
    written = signs(text)
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


def _letter(sign: Sign) -> Iterator[Signal]:
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
