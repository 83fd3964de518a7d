"""Words that musicians bring along, in four languages, and what is written here instead: a cure for unknown words.

In: a word that means nothing where it stands, and what stands around it. Out: what it is called here, from the one
table `stdlib/trade_words.toml`, which is read only once a message needs it.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from cavata import resources

LONGEST_PHRASE = 4
"""Words of the longest phrase of the table."""
_WORD = re.compile(r"[^\s\"(),:|=+]+")
_SHOWN = 3
"""So many meanings of a word are named at most."""
_GROUP = "group "
"""What a word for several parts means: only where a part can stand."""


def here(text: str, before: str = "", after: str = "") -> str:
    """What a word is called in this language, as the cure of a message; empty where nothing is known.

    `before` and `after` are what stands around it in its statement: the longest phrase that it is part of counts.
    """
    if text == "." and (stopped := re.search(r"[^\W\d]+$", before)):
        text, before = f"{stopped[0]}.", before[: stopped.start()]
    left, right = _WORD.findall(before)[1 - LONGEST_PHRASE :], _WORD.findall(after)[: LONGEST_PHRASE - 1]
    windows = (
        [*left[len(left) - back :], text, *right[:ahead]]
        for size in range(LONGEST_PHRASE - 1, -1, -1)
        for back in range(size, -1, -1)
        if back <= len(left) and (ahead := size - back) <= len(right)
    )
    for words in windows:
        phrase = " ".join(words)
        if meant := [key for key in meanings(phrase) if not key.startswith(_GROUP)]:
            shown = (key if "`" in key else f"`{key.replace('{word}', phrase)}`" for key in meant[:_SHOWN])
            return f"`{phrase.replace(' .', '.')}` is {' or '.join(shown)} here"
    return ""


def as_group(word: str) -> str:
    """How several parts are named, where a part stands and musicians call several by this word; else empty."""
    group = next((key for key in meanings(word) if key.startswith(_GROUP)), "")
    return group and f"name its parts above the movements: `{group.replace('{word}', word)}`"


def meanings(phrase: str) -> tuple[str, ...]:
    """What is written here for a phrase of the trade, each as the table shows it."""
    return _table().get(_plain(phrase), ())


@lru_cache(maxsize=1)
def _table() -> dict[str, tuple[str, ...]]:
    """Each word of the table, plainly written, with the keys that it stands under."""
    import tomllib

    path = resources.folder("stdlib") / "trade_words.toml"
    found: dict[str, tuple[str, ...]] = {}
    for group in tomllib.loads(path.read_text(encoding="utf-8")).values():
        for key, words in group.items():
            plainly = (plain for written in words for plain in (_plain(written), _without_umlauts(written)))
            for word in dict.fromkeys(plainly):
                found[word] = (*found.get(word, ()), key)
    return found


def _plain(phrase: str) -> str:
    """A phrase without capitals, accents, dots and hyphens."""
    bare = unicodedata.normalize("NFKD", phrase.casefold().replace("ß", "ss"))
    return " ".join(re.sub(r"[.\-_'’]+", " ", "".join(c for c in bare if not unicodedata.combining(c))).split())


def _without_umlauts(phrase: str) -> str:
    """The same with German umlauts written as two letters."""
    return _plain(unicodedata.normalize("NFC", phrase.casefold()).translate({228: "ae", 246: "oe", 252: "ue"}))
