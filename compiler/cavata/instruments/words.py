"""How the words for an instrument are compared: capitals, accents, hyphens and apostrophes do not count."""

from __future__ import annotations

import unicodedata

_LEFT_OUT = str.maketrans({"♭": "b", "-": " ", "'": None, "’": None})


def folded(words: str) -> str:
    """The words as they are compared: `Hörner` as `horner`, `tom-tom` as `tom tom`."""
    plain = words.translate(_LEFT_OUT).casefold()
    if not plain.isascii():
        plain = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    return " ".join(plain.split())


def in_a_script(words: str) -> str:
    """The words as a script can write them: without hyphens and apostrophes."""
    return words.replace("-", " ").replace("'", "")


def capital(words: str) -> str:
    """With a capital at the beginning, whatever follows."""
    return words[:1].upper() + words[1:]


def with_flat_sign(name: str) -> str:
    """`Clarinet in E♭` for `Clarinet in Eb`."""
    return name[:-1] + "♭" if " in " in name and name.endswith("b") else name
