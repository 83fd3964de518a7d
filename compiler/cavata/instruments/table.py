"""The table of instruments in `stdlib/instruments.toml`, by every word a script may use.

In: the file, read once. Out: instruments with sounding ranges. The file gives ranges as players
read them, since handbooks do; a row may borrow from another what it does not say itself.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import TypedDict, cast

from cavata.diagnostics.spelling import closest
from cavata.instruments.instrument import Instrument
from cavata.music.pitch import Interval, Pitch, parse_interval, parse_pitch
from cavata.resources import folder
from cavata.value import dataclass

_UNISON = Interval(0, 0)
_NOT_FAMILIES = ("ambiguous", "sources")
_NAMES = ("name", "plural", "also", "also_plural")
_UNPITCHED = "General MIDI"


class _Row(TypedDict, total=False):
    """One row of the file; its comments say what the fields mean."""

    range: str
    sounds: str
    midi: int
    key: int
    short: str
    name: str
    plural: str
    also: list[str]
    also_plural: list[str]
    clefs: list[str]
    staves: int
    like: str
    source: str


@dataclass(frozen=True, slots=True)
class _Entry:
    """One word or words a script may use, as one writes them."""

    words: str
    instrument: Instrument
    is_plural: bool


@lru_cache(maxsize=1)
def instruments() -> Mapping[str, Instrument]:
    """Every instrument under each of its names, singular and plural, in lower case, without hyphens."""
    return MappingProxyType({words: entry.instrument for words, entry in _entries().items()})


def find(words: str) -> Instrument | None:
    """The instrument a script calls by these words; capitals, hyphens and apostrophes do not count."""
    entry = _entries().get(_folded(words))
    return entry.instrument if entry else None


def asks_for_section(words: str) -> bool:
    """Whether the words are an instrument's plural, as `violins`; False for one with a single form, as `timpani`."""
    entry = _entries().get(_folded(words))
    return entry is not None and entry.is_plural


def suggestions(words: str) -> tuple[str, ...]:
    """What may have been meant: the instruments an ambiguous word may stand for, else the three nearest names."""
    ambiguous = cast(Mapping[str, list[str]], _file()["ambiguous"])
    folded = _folded(words)
    if folded in ambiguous:
        return tuple(ambiguous[folded])
    nearest: dict[str, str] = {}
    for near in closest(folded, _entries(), limit=12):
        nearest.setdefault(_entries()[near].instrument.key, _entries()[near].words)
    return tuple(nearest.values())[:3]


def printed_name(instrument: Instrument, plural: bool) -> str:
    """The name before the first system: `Violin`, or `Violins` for a section; `Clarinets in B♭`."""
    if not plural:
        return instrument.name
    _, joint, key = instrument.name.partition(" in ")
    return _capital(instrument.plural.partition(" in ")[0]) + joint + key


@lru_cache(maxsize=1)
def _entries() -> Mapping[str, _Entry]:
    entries: dict[str, _Entry] = {}
    sources = cast(Mapping[str, str], _file()["sources"])
    for order, (family, words, row) in enumerate(_rows(), start=1):
        instrument = _instrument(words, family, order, cast(_Row, {**_lent(row), **row}), sources)
        for name, is_plural in _script_names(words, row, instrument.plural):
            entry = _Entry(name.replace("-", " ").replace("'", ""), instrument, is_plural)
            entries.setdefault(_folded(name), entry)
    return entries


def _rows() -> Iterator[tuple[str, str, _Row]]:
    """Family, words and fields of each instrument, in score order."""
    for family, rows in _file().items():
        if family not in _NOT_FAMILIES:
            for words, row in cast(Mapping[str, _Row], rows).items():
                yield family, words, row


@lru_cache(maxsize=1)
def _file() -> Mapping[str, object]:
    return tomllib.loads((folder("stdlib") / "instruments.toml").read_text(encoding="utf-8"))


def _lent(row: _Row) -> _Row:
    """What a row borrows from the one it refers to: all but the names, which are the other's own."""
    if "like" not in row:
        return {}
    lender = next(other for _, words, other in _rows() if words == row["like"])
    return cast(_Row, {field: value for field, value in lender.items() if field not in _NAMES})


def _instrument(words: str, family: str, order: int, row: _Row, sources: Mapping[str, str]) -> Instrument:
    sounds = _interval(row.get("sounds", "unison"))
    bounds = _bounds(row["range"], sounds) if "range" in row else None
    unpitched = "key" in row
    return Instrument(
        key=words.replace("-", " ").replace("'", ""),
        family=family,
        order=order,
        name=row.get("name", _signs(_capital(words))),
        abbreviation=row["short"],
        plural=row.get("plural", _plural(words)),
        clefs=("percussion",) if unpitched else tuple(row.get("clefs", ("treble",))),
        lowest=bounds[0] if bounds else None,
        highest=bounds[3] if bounds else None,
        comfortable=bounds[1:3] if bounds else None,
        transposition=sounds,
        program=row.get("midi", 0),
        percussion_key=row.get("key"),
        staves=("right", "left") if row.get("staves") == 2 else ("",),
        source=sources[_UNPITCHED] if unpitched else sources[row["source"]],
    )


def _bounds(text: str, sounds: Interval) -> tuple[Pitch, Pitch, Pitch, Pitch]:
    """Read `D4 (G4..A6) C7` as written pitches; gives the sounding ones, lowest first."""
    low, middle, high = text.split()
    soft_low, soft_high = middle.strip("()").split("..")
    lowest, comfortable_low, comfortable_high, highest = (
        parse_pitch(pitch) + sounds for pitch in (low, soft_low, soft_high, high)
    )
    return lowest, comfortable_low, comfortable_high, highest


def _interval(text: str) -> Interval:
    if text == "unison":
        return _UNISON
    direction, size = text.split()
    return parse_interval(size) if direction == "up" else -parse_interval(size)


def _script_names(words: str, row: _Row, plural: str) -> Iterator[tuple[str, bool]]:
    """Every name of a row, each with whether it is a plural; the singulars first, so that `timpani` is one."""
    for singular in (words, *row.get("also", ())):
        yield singular, False
    for other in (plural, *map(_plural, row.get("also", ())), *row.get("also_plural", ())):
        yield other, True


def _plural(words: str) -> str:
    """`clarinets in A` for `clarinet in A`."""
    head, joint, key = words.partition(" in ")
    return (head if head.endswith("s") else head + "s") + joint + key


def _folded(words: str) -> str:
    plain = words.replace("♭", "b").replace("-", " ").replace("'", "").replace("’", "")
    return " ".join(plain.casefold().split())


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _signs(name: str) -> str:
    """`Clarinet in E♭` for `Clarinet in Eb`."""
    return name[:-1] + "♭" if " in " in name and name.endswith("b") else name
