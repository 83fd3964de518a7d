"""Chamber ensembles that have a name.

In: the parts of a piece. Out: `string quartet` and its like, in the language of the page, where the forces are exactly
these, one player each.
Source of the table: common practice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from cavata.score.page_words import page_words
from cavata.score.score import Part

_TABLE = (
    ("string trio", ("violin", "viola", "cello")),
    ("string quartet", ("violin", "violin", "viola", "cello")),
    ("piano trio", ("violin", "cello", "piano")),
    ("piano quartet", ("violin", "viola", "cello", "piano")),
    ("piano quintet", ("violin", "violin", "viola", "cello", "piano")),
    ("wind quintet", ("flute", "oboe", "clarinet", "horn", "bassoon")),
    ("brass quintet", ("trumpet", "trumpet", "horn", "trombone", "tuba")),
    ("saxophone quartet", ("soprano saxophone", "alto saxophone", "tenor saxophone", "baritone saxophone")),
    ("mixed choir", ("soprano", "alto", "tenor", "bass voice")),
    ("women's choir", ("soprano", "soprano", "alto", "alto")),
    ("men's choir", ("tenor", "tenor", "baritone", "bass voice")),
)
_SAME = {"trumpet in C": "trumpet", "clarinet in A": "clarinet"}
"""The same player with another instrument."""


def ensemble(parts: Sequence[Part]) -> str:
    """The ensemble's name, or nothing where it has none; a soloist stands outside any."""
    if any(part.soloist for part in parts):
        return ""
    keys = Counter(_SAME.get(part.instrument.key, part.instrument.key) for part in parts)
    found = (name for name, wanted in _TABLE if Counter(wanted) == keys)
    return next((page_words(parts[0].language, "ensembles", name) for name in found), "")
