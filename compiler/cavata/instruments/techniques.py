"""Which signs and techniques an instrument has, by the table `stdlib/techniques.toml`.

In: an instrument. Out: for each sign that it does not have, or has with care, the row of the table that says so. A sign
without a row is for all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import TypedDict, cast

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import table_of
from cavata.record import record

_GROUPS = "groups"
_USUAL_CURE = "leave it out, or give the line to an instrument that has it"
_USUAL_SOURCE = "common practice, from memory"


class _Row(TypedDict, total=False):
    """One row of the file; its comments say what the fields mean."""

    signs: list[str]
    called: str
    has: list[str]
    care: list[str]
    why: str
    careful: str
    cure: str
    source: str


@record
class Lack:
    """A sign that an instrument does not have, or has with care."""

    sign: str
    """As a script writes it, or the word of an ornament."""
    called: str
    """As a message names it: `has no CALLED`."""
    why: str
    """A phrase that begins with a small letter."""
    cure: str
    """What to write instead; empty where a player is to be asked."""
    is_care: bool
    """Some players have it, or it is done in another way."""
    source: str


def rows() -> Iterator[tuple[str, _Row]]:
    """The rows of the table by their headings."""
    for name, row in table_of("techniques").items():
        if name != _GROUPS:
            yield name, cast(_Row, row)


def lacks(instrument: Instrument) -> Mapping[str, Lack]:
    """By its word each sign that the instrument does not have, or has with care."""
    return _lacks(instrument.family, instrument.key)


def groups() -> Mapping[str, list[str]]:
    """Instruments that the rows speak of by one word."""
    return cast(Mapping[str, list[str]], table_of("techniques")[_GROUPS])


@cache
def _lacks(family: str, key: str) -> Mapping[str, Lack]:
    named = groups()

    def named_by(words: list[str]) -> int:
        """0 where none of the words means the instrument, 1 where its family stands there, 2 where it does itself."""
        return max((2 if word == key or key in named.get(word, ()) else word == family for word in words), default=0)

    found = {}
    for _, row in rows():
        has, care = named_by(row["has"]), named_by(row.get("care", []))
        if care > has or not has:
            for sign in row["signs"]:
                found[sign] = Lack(
                    sign, row["called"], row["careful"] if care else row["why"],
                    row.get("cure", "" if care else _USUAL_CURE), care > 0, row.get("source", _USUAL_SOURCE),
                )  # fmt: skip
    return found
