"""The table of instruments in `stdlib/instruments.toml`, by every English word a script may use.

In: the file, read once. Out: instruments with sounding ranges. The file gives ranges as players
read them, since handbooks do; a row may borrow from another what it does not say itself. An instrument is made
only when it is asked for, since a script needs few of them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import TypedDict, cast

from cavata import resources
from cavata.cache import TABLES, key_of, stamps
from cavata.diagnostics import closest
from cavata.instruments.instrument import Drum, Instrument, Sustain, folded, in_a_script, with_flat_sign
from cavata.music.pitch import UNISON, Interval, Pitch, parse_interval, parse_pitch
from cavata.record import record, replace
from cavata.text import capital

Tables = Mapping[str, Mapping[str, object]]


@lru_cache(maxsize=4)
def table_of(name: str) -> Tables:
    """The tables of `stdlib/NAME.toml` by their headings, kept as read from one run to the next."""
    file = resources.folder("stdlib") / f"{name}.toml"
    key = key_of(stamps([file]))
    tables: Tables | None = TABLES.read_as(key, json.loads)
    if tables is None:
        # Reading this much of the format takes longer than all else that a check does with instruments.
        import tomllib

        tables = tomllib.loads(file.read_text(encoding="utf-8"))
        TABLES.keep(key, json.dumps(tables, ensure_ascii=False).encode())
    return tables


_NOT_FAMILIES = ("ambiguous", "sources")
_NOT_LENT = ("name", "plural", "also", "also_plural", "called", "doubles")
_UNPITCHED = "General MIDI"


class _Row(TypedDict, total=False):
    """One row of the file; its comments say what the fields mean."""

    range: str
    section: str
    sounds: str
    midi: int
    key: int
    short: str
    name: str
    plural: str
    also: list[str]
    also_plural: list[str]
    called: dict[str, list[str]]
    clefs: list[str]
    staves: str
    pedals: str
    strings: str
    frets: int
    tone: str
    drums: list[str]
    doubles: list[str]
    like: str
    source: str


@record
class _Place:
    """A row of the file, and where it stands."""

    words: str
    family: str
    order: int
    row: _Row


@record
class _Entry:
    """One word or words a script may use, as one writes them, and the row they lead to."""

    words: str
    row: str
    is_plural: bool


@lru_cache(maxsize=1)
def instruments() -> Mapping[str, Instrument]:
    """Every instrument under each of its names, singular and plural, in lower case, without hyphens."""
    return MappingProxyType({words: _made(entry.row) for words, entry in _entries().items()})


def find(words: str) -> Instrument | None:
    """The instrument a script calls by these English words; capitals, accents, hyphens and apostrophes do not count."""
    entry = _entries().get(folded(words))
    return _made(entry.row) if entry else None


def as_called(words: str) -> Instrument:
    """The instrument of these English words, which must be some, under the name that they give it on the page.

    Where they are no name of its own there, it has its usual one: `clarinet in Bb` is `Clarinet in B♭`.
    """
    row = _entries()[folded(words)].row
    for name, (short, *irregular) in _rows()[row].row.get("called", {}).items():
        plural = irregular[0] if irregular else _plural(name)
        if folded(words) in (folded(name), folded(plural)):
            return _renamed(row, name, plural, short)
    return _made(row)


@cache
def _renamed(row: str, name: str, plural: str, short: str) -> Instrument:
    """An instrument under another of its names; the key of a transposing one stays."""
    made = _made(row)
    key = "".join(made.name.partition(" in ")[1:])
    return replace(made, name=capital(name) + key, plural=plural, abbreviation=short)


def asks_for_section(words: str) -> bool:
    """Whether the words are an instrument's plural, as `violins`; False for one with a single form, as `timpani`."""
    entry = _entries().get(folded(words))
    return entry is not None and entry.is_plural


def is_ambiguous(words: str) -> bool:
    """Whether the words may mean several instruments, as `bass`."""
    return folded(words) in _ambiguous()


def suggestions(words: str) -> tuple[str, ...]:
    """What may have been meant: the instruments an ambiguous word may stand for, else the three nearest names."""
    meant = _ambiguous().get(folded(words))
    return nearest_of(words, script_words()) if meant is None else tuple(meant)


def script_words() -> Mapping[str, tuple[str, str]]:
    """Every English word as it is compared, with the word as a script writes it and the row it leads to."""
    return {word: (entry.words, entry.row) for word, entry in _entries().items()}


def nearest_of(words: str, known: Mapping[str, tuple[str, str]]) -> tuple[str, ...]:
    """Of words as `script_words` gives them the three nearest, one for each instrument."""
    nearest: dict[str, str] = {}
    for near in closest(folded(words), known, limit=12):
        written, row = known[near]
        nearest.setdefault(row, written)
    return tuple(nearest.values())[:3]


@lru_cache(maxsize=1)
def _ambiguous() -> Mapping[str, list[str]]:
    return {folded(word): meant for word, meant in cast(Mapping[str, list[str]], _file()["ambiguous"]).items()}


@lru_cache(maxsize=1)
def _entries() -> Mapping[str, _Entry]:
    entries: dict[str, _Entry] = {}
    for place in _rows().values():
        for name, is_plural in _script_names(place.words, place.row):
            entries.setdefault(folded(name), _Entry(in_a_script(name), place.words, is_plural))
    return entries


@lru_cache(maxsize=1)
def _rows() -> Mapping[str, _Place]:
    """The rows of the file by their words, in score order."""
    rows = (
        (family, words, row)
        for family, rows in _file().items() if family not in _NOT_FAMILIES
        for words, row in cast(Mapping[str, _Row], rows).items()
    )  # fmt: skip
    return {words: _Place(words, family, order, row) for order, (family, words, row) in enumerate(rows, start=1)}


def _file() -> Mapping[str, Mapping[str, object]]:
    return table_of("instruments")


@cache
def _made(words: str) -> Instrument:
    place = _rows()[words]
    row = cast(_Row, {**_lent(place.row), **place.row})
    sources = cast(Mapping[str, str], _file()["sources"])
    sounds = _interval(row.get("sounds", "unison"))
    lowest, low, high, highest, *extreme = _bounds(row["range"], sounds) if "range" in row else [None] * 6
    unpitched = "key" in row
    staves, third = _staves(row.get("staves", ""))
    return Instrument(
        key=in_a_script(words),
        family=place.family,
        order=place.order,
        name=row.get("name", with_flat_sign(capital(words))),
        abbreviation=row["short"],
        plural=row.get("plural", _plural(words)),
        clefs=("percussion",) if unpitched else tuple(row.get("clefs", ("treble",))),
        lowest=lowest,
        highest=highest,
        comfortable=_pair(low, high),
        transposition=sounds,
        program=row.get("midi", 0),
        percussion_key=row.get("key"),
        staves=staves,
        source=sources[_UNPITCHED] if unpitched else sources[row["source"]],
        extreme=_pair(*extreme),
        section=_span(row["section"], sounds) if "section" in row else None,
        strings=tuple(parse_pitch(string) + sounds for string in row.get("strings", "").split()),
        drums=tuple(Drum(size, *_span(pitches, sounds)) for size, pitches in map(_drum, row.get("drums", ()))),
        doubles=tuple(map(in_a_script, row.get("doubles", ()))),
        frets=row.get("frets", 0),
        tone=Sustain(row.get("tone", "short")),
        third=third,
        pedals=_pedals(row["pedals"]) if "pedals" in row else (),
    )


def _lent(row: _Row) -> _Row:
    """What a row borrows from the one it refers to: all but the names and doublings, which are the other's own."""
    lender = _rows()[row["like"]].row if "like" in row else {}
    return cast(_Row, {field: value for field, value in lender.items() if field not in _NOT_LENT})


def _bounds(text: str, sounds: Interval) -> list[Pitch]:
    """Read `E3 [F3 (G3..C5) D5] G5` as written pitches; gives the sounding ones.

    The usual range's lowest first, the comfortable one's two, the usual one's highest; then the extremes. Without
    square brackets the extremes are those of the usual range.
    """
    words = text.split()
    under, *inner, over = words if "[" in text else (words[0], *words, words[-1])
    low, middle, high = inner
    pitches = [low.strip("["), *middle.strip("()").split(".."), high.strip("]"), under, over]
    return [parse_pitch(pitch) + sounds for pitch in pitches]


def _staves(text: str) -> tuple[tuple[str, ...], str]:
    """Read `right [middle] left`: the staves in the order of the page, and the one that is not always there."""
    names = text.split()
    third = next((name.strip("[]") for name in names if name.startswith("[")), "")
    return tuple(name.strip("[]") for name in names) or ("",), third


def _pedals(text: str) -> tuple[Pitch, ...]:
    """Read the range of a pedal board, which sounds as written."""
    lowest, low, high, highest, *extreme = _bounds(text, UNISON)
    return low, high, lowest, highest, *extreme


def _pair(low: Pitch | None, high: Pitch | None) -> tuple[Pitch, Pitch] | None:
    return None if low is None or high is None else (low, high)


def _span(text: str, sounds: Interval) -> tuple[Pitch, Pitch]:
    """Read `G3..C7` as written pitches; gives the sounding ones."""
    low, high = text.split("..")
    return parse_pitch(low) + sounds, parse_pitch(high) + sounds


def _drum(text: str) -> tuple[str, str]:
    size, pitches = text.split(": ")
    return size, pitches


def _interval(text: str) -> Interval:
    if text == "unison":
        return UNISON
    direction, size = text.split()
    return parse_interval(size) if direction == "up" else -parse_interval(size)


def _script_names(words: str, row: _Row) -> Iterator[tuple[str, bool]]:
    """Every name of a row, each with whether it is a plural; the singulars first, so that `timpani` is one."""
    for singular in (words, *row.get("also", ())):
        yield singular, False
    for other in (row.get("plural", _plural(words)), *map(_plural, row.get("also", ())), *row.get("also_plural", ())):
        yield other, True


def _plural(words: str) -> str:
    """`clarinets in A` for `clarinet in A`."""
    head, joint, key = words.partition(" in ")
    return (head if head.endswith("s") else head + "s") + joint + key
