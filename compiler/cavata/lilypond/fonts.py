"""Characters that a page lacks, by the script they belong to, and the package that has a font for them.

In: single characters. Out: groups that one package mends. The packages are those of Debian and its relatives:
`fonts-noto-cjk` has Chinese, Japanese and Korean, `fonts-noto-core` a font for every other living script (looked up
with `apt-cache search` and in the packages' lists of files).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from cavata.record import record

CORE, CJK = "fonts-noto-core", "fonts-noto-cjk"
_EAST_ASIAN_WORDS = frozenset(["CJK", "HIRAGANA", "KATAKANA", "HALFWIDTH", "FULLWIDTH", "IDEOGRAPHIC", "HANGUL"])
"""First words of the names that Unicode gives their characters; other scripts are called as they begin."""
_NO_SCRIPT = frozenset(("", "<", "COMBINING", "MODIFIER", "ZERO", "VARIATION"))
_PRIVATE = frozenset(("Co", "Cn", "Cs"))


@record
class Lacking:
    """Characters of one script."""

    script: str
    """As `Hebrew`; empty for signs of no script."""
    characters: tuple[str, ...]
    package: str
    """What has a font for them; empty where no font can have them, as for private and unassigned characters."""


def lacking(characters: Iterable[str]) -> tuple[Lacking, ...]:
    """The characters by their scripts, in the order in which the scripts come first."""
    groups: dict[tuple[str, str], list[str]] = {}
    for character in characters:
        groups.setdefault(_script(character), []).append(character)
    return tuple(Lacking(script, tuple(found), package) for (script, package), found in groups.items())


def _script(character: str) -> tuple[str, str]:
    """The script of a character, and the package for it."""
    category = unicodedata.category(character)
    if category in _PRIVATE:
        return "", ""
    first = unicodedata.name(character, "").partition(" ")[0]
    if first in _EAST_ASIAN_WORDS or (category[0] != "S" and unicodedata.east_asian_width(character) in "WF"):
        return "Chinese, Japanese or Korean", CJK
    is_letter = category[0] in "LM" and first not in _NO_SCRIPT
    return (first.capitalize() if is_letter else ""), CORE


def visible(character: str) -> str:
    """A character as it can be seen alone: a mark on a dotted circle."""
    return f"\u25cc{character}" if unicodedata.category(character)[0] == "M" else character
