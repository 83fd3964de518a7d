"""Trees of scripts that were read before, kept between runs.

In: a source. Out: its module, from the cache if the very same text was read without a message by the very same
compiler, else read afresh and kept. What is in the cache and does not fit is passed over and written again.

A tree is kept as JSON: first its plain values, then its nodes by levels, each made of what stands before it. Of a level
all nodes of one class stand together, a column of numbers for each field, so that they are made at once and by nothing
but setting slots; this takes no longer than unpickling, and can make nothing but nodes of a tree.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Iterable, Sequence
from contextlib import suppress
from fractions import Fraction
from functools import lru_cache
from itertools import repeat
from pathlib import Path
from typing import Any

from cavata import resources
from cavata.cache import TREES, key_of, stamps
from cavata.diagnostics import Diagnostics
from cavata.record import SLOTS
from cavata.source import Source, Span
from cavata.syntax.tree import Module

_ROOMS = "cavata.syntax.", "cavata.music."
"""Where the classes of nodes are."""
_TUPLE = ""
"""Stands for the class of a tuple."""
_PLAIN = frozenset((str, int, bool, type(None)))


def read_module(source: Source, bag: Diagnostics) -> Module:
    """The tree of a source; what cannot be read is reported."""
    key = key_of(_compiler(), source.name, source.text)
    module = TREES.read_as(key, lambda body: unpacked(body, source))
    if module is not None:
        return module
    # The parser and its library are loaded only when something has to be read.
    from cavata.syntax.parse import parse

    with bag.within() as own:
        module = parse(source, own)
    if own.is_empty:
        with suppress(RecursionError):  # by a tree that is nested too deeply
            TREES.keep(key, packed(module))
    return module


@lru_cache(maxsize=1)
def _compiler() -> bytes:
    """What tells this compiler's trees from those of any other."""
    rooms = Path(__file__).parent, Path(__file__).parent.parent / "music"
    files = [*(file for room in rooms for file in room.glob("*.py")), resources.folder("grammar") / "cavata.lark"]
    return stamps(sorted(files))


# ----------------------------------------------------------------


def packed(module: Module) -> bytes:
    """A tree as bytes; its source is not among them."""
    values = _Values()
    values.number(module)
    return json.dumps(values.in_levels(), separators=(",", ":"), ensure_ascii=False).encode("utf-8", "surrogatepass")


def unpacked(body: bytes, source: Source) -> Module:
    """The tree of a source; raises some exception for bytes that are no tree."""
    plain, fractions, spans, groups = json.loads(body.decode("utf-8", "surrogatepass"))
    classes = _classes(len(SLOTS))
    made: list[Any] = [source, (), *plain]
    made += map(Fraction, *fractions)
    made += _nodes(Span, [repeat(source, len(spans[0])), *spans], len(spans[0]))
    for name, columns in groups:
        fields = [map(made.__getitem__, column) for column in columns]
        made += [*zip(*fields, strict=True)] if name == _TUPLE else _nodes(classes[name], fields, len(columns[0]))
    module = made[-1]
    if not isinstance(module, Module):
        raise TypeError("no module")
    return module


@lru_cache(maxsize=4)
def _classes(known: int) -> dict[str, type]:
    """The classes of nodes by their names, of so many records as are known: there are more when modules are loaded."""
    return {_name(kind): kind for kind in SLOTS if kind.__module__.startswith(_ROOMS)}


def _nodes(kind: type, fields: Sequence[Iterable[Any]], count: int) -> list[Any]:
    """So many nodes of a class, by the values of each field."""
    made: list[Any] = [*map(object.__new__, repeat(kind, count))]
    for slot, values in zip(SLOTS[kind].values(), fields, strict=True):
        deque(map(slot.__set__, made, values), maxlen=0)
    return made


_SOURCE, _EMPTY = 0, 1
"""The numbers of the source and of the empty tuple, which are not written."""


class _Group:
    """Values that are made at once: of one class, and of one level, which is one above the highest of their parts."""

    def __init__(self, level: int, name: str) -> None:
        self.level = level
        self.name = name
        self.known: dict[tuple[Any, ...], int] = {}
        """The number of each, by the numbers of its parts, or by what it is itself."""

    def __lt__(self, other: _Group) -> bool:
        return (self.level, self.name) < (other.level, other.name)

    def columns(self) -> list[list[Any]]:
        """Its rows the other way round."""
        return [list(column) for column in zip(*self.known, strict=True)]


class _Values:
    """The different values in a tree, each with a number, higher than those of its parts."""

    def __init__(self) -> None:
        self._groups: dict[tuple[int, str, int], _Group] = {}
        self._group_of: list[_Group] = [_Group(0, ""), _Group(0, "")]
        """For each number the group that the value is in."""
        self._plain, self._fractions, self._spans = (_Group(0, ""), _Group(0, ""), _Group(0, ""))
        self._classes = {kind: (_name(kind), tuple(slots)) for kind, slots in SLOTS.items()}

    def number(self, value: Any) -> int:
        """The number of a value; raises KeyError if it is none that a tree may hold."""
        kind = value.__class__
        if kind is Span:
            return self._numbered(self._spans, (value.start, value.end))
        if kind in _PLAIN:
            return self._numbered(self._plain, (kind, value))
        if kind is tuple:
            if not value:
                return _EMPTY
            name, parts = _TUPLE, tuple([self.number(part) for part in value])
        elif kind is Fraction:
            return self._numbered(self._fractions, (value.numerator, value.denominator))
        elif kind is Source:
            return _SOURCE
        else:
            name, fields = self._classes[kind]
            parts = tuple([self.number(getattr(value, field)) for field in fields])
        group_of = self._group_of
        level = 0
        for part in parts:
            if group_of[part].level > level:
                level = group_of[part].level
        group = self._groups.get((level, name, len(parts)))
        if group is None:
            group = self._groups[level, name, len(parts)] = _Group(level + 1, name)
        return self._numbered(group, parts)

    def _numbered(self, group: _Group, row: tuple[Any, ...]) -> int:
        number = group.known.get(row)
        if number is None:
            number = group.known[row] = len(self._group_of)
            self._group_of.append(group)
        return number

    def in_levels(self) -> list[Any]:
        """Plain values, fractions, spans and then all else in columns, numbered anew by where they stand."""
        groups = sorted(self._groups.values())
        places = [_SOURCE, _EMPTY, *[0] * (len(self._group_of) - 2)]
        leaves = self._plain, self._fractions, self._spans
        ordered = (number for group in (*leaves, *groups) for number in group.known.values())
        for place, number in enumerate(ordered, start=2):
            places[number] = place
        rest = [[group.name, [[places[part] for part in column] for column in group.columns()]] for group in groups]
        plain, fractions, spans = (group.columns() or [[], []] for group in leaves)
        return [plain[1], fractions, spans, rest]


def _name(kind: type) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"
