"""What a pure function reads of the records it is given, noted while it works, and its results kept by just that.

A function whose result was made from the fields F of some records gives the same for all values that agree on F, or on
more than F. So results are kept under a key made of the values of all fields that were ever read, and nobody has to
say which these are. The set grows as functions are watched at new values; a key made of a smaller set is then no longer
asked for, and its result is made once more.

In: values made of records, tuples and plain values, and what a function makes of them. Out: what it made before of a
value that it cannot tell from this one. Records that are compared or hashed are read in all their fields. What is not
seen is a comparison of tuples that ends before it comes to a field, because both hold the very same object: a function
to be watched compares no tuples of records.
"""

from __future__ import annotations

import json
import marshal
from collections.abc import Callable, Iterator, Set
from contextlib import contextmanager
from enum import Enum
from fractions import Fraction
from operator import attrgetter
from threading import RLock
from typing import Any, TypeVar

from cavata.cache import Store, key_of
from cavata.record import SLOTS
from cavata.source import Span

Field = tuple[str, str]
"""A record's class, with its module, and the name of a field."""
_WITHOUT_REFERENCES = 2
"""The version of the marshaled form in which equal values always give equal bytes; they are hashed, never read."""
_PLAIN = frozenset((str, int, float, bool, bytes, type(None)))
_Made = TypeVar("_Made")
_one_at_a_time = RLock()
_noting: list[set[Field]] = []
"""Where what is read is being noted, the outermost first: who works within another's work works for that too."""

# ---------------------------------------------------------------- which fields are read


class _Watch:
    """Stands where the slot of a field is until it is read for the first time, so that noting costs next to nothing."""

    def __init__(self, kind: type, name: str, slot: Any, seen: set[Field]) -> None:
        self._kind, self._name, self._slot, self._seen = kind, name, slot, seen
        self._before = kind.__dict__[name]

    def __get__(self, value: object, kind: type | None = None) -> Any:
        self._seen.add(_field(self._kind, self._name))
        self.go()
        return self._slot.__get__(value, kind)

    def go(self) -> None:
        """Put back what was in its place: the slot, or a watch of those for whom this work is done."""
        setattr(self._kind, self._name, self._before)


@contextmanager
def noted(seen: set[Field]) -> Iterator[None]:
    """Add to a set every field that is read meanwhile, of any record and by whomever."""
    with _one_at_a_time:
        watches = [
            _Watch(kind, name, slot, seen)
            for kind, slots in SLOTS.items() for name, slot in slots.items() if _field(kind, name) not in seen
        ]  # fmt: skip
        _noting.append(seen)
        try:
            for watch in watches:
                setattr(watch._kind, watch._name, watch)
            yield
        finally:
            for watch in watches:
                watch.go()
            _noting.pop()
            count_as_read(seen)


def count_as_read(fields: Set[Field]) -> None:
    """Let whoever is noting count these as read, since something is used that was made by reading them."""
    for seen in _noting:
        seen |= fields


def _field(kind: type, name: str) -> Field:
    return f"{kind.__module__}.{kind.__qualname__}", name


# ---------------------------------------------------------------- values by some of their fields


def every_field() -> Set[Field]:
    """All fields of all records."""
    return {_field(kind, name) for kind, slots in SLOTS.items() for name in slots}


def content(value: object, fields: Set[Field]) -> bytes:
    """A value by those fields of its records, as bytes: the same in every process, and for equal values.

    Of a place in a text the source's name, line, column and characters count, if any of its fields does.
    """
    return marshal.dumps(_Reading(fields).of(value), _WITHOUT_REFERENCES)


class _Reading:
    """Values as nested tuples; one that stands in many places, such as a pitch, is taken apart once."""

    def __init__(self, fields: Set[Field]) -> None:
        self._fields = fields
        self._known: dict[int, Any] = {}
        self._takers: dict[type, Callable[[Any], Any]] = {}

    def of(self, value: Any) -> Any:
        """A value, or a record as a tuple of its kind and fields."""
        kind = value.__class__
        if kind in _PLAIN:
            return value
        if kind is tuple:
            return tuple([self.of(one) for one in value]) if value else ()
        made = self._known.get(id(value))
        if made is None:
            taker = self._takers.get(kind)
            if taker is None:
                taker = self._takers[kind] = self._taker(kind)
            made = self._known[id(value)] = taker(value)
        return made

    def _taker(self, kind: type) -> Callable[[Any], Any]:
        """What takes values of a class apart."""
        if kind is Fraction:
            return Fraction.as_integer_ratio
        if issubclass(kind, Enum):
            return lambda value: (kind.__name__, value.name)
        if kind not in SLOTS:
            raise TypeError(f"a {kind.__qualname__} is no record")
        names = [name for name in SLOTS[kind] if _field(kind, name) in self._fields]
        if kind is Span and names:
            return lambda value: (value.source.name, value.line, value.column, value.text)
        if len(names) < 2:
            return lambda value: (kind.__name__, *[self.of(getattr(value, name)) for name in names])
        fields = attrgetter(*names)
        return lambda value: (kind.__name__, *[self.of(one) for one in fields(value)])


# ---------------------------------------------------------------- results kept


class Remembered:
    """What one pure function made of values: known by what it read of them. `about` says which function it is."""

    def __init__(self, store: Store, about: bytes, fresh: bool = False) -> None:
        self._store = store
        self._about = about
        self._fresh = fresh
        """What is in the store is not asked for, but written again."""
        self._fields = self._kept_fields()
        self._learned: list[tuple[object, str]] = []
        self._by_key: dict[str, str] = {}
        """What was learned, by keys made of the fields that were known then."""
        self._keys_of = len(self._fields)
        """How many fields these were."""
        self._asked: tuple[object, str] = self, ""
        """The last value that was asked for, and its key of so many fields: what is not known is learned next."""

    @property
    def fields(self) -> Set[Field]:
        """All that was ever read, as far as it is known by now."""
        return self._fields

    def known(self, value: object) -> str | None:
        """What was made of a value like this one."""
        key = self._key_now(value)
        made = self._by_key.get(key)
        if made is None and not self._fresh:
            made = self._store.read_as(key, bytes.decode)
        return made

    def _key_now(self, value: object) -> str:
        """The value's key by all that is known by now."""
        if self._keys_of != len(self._fields):
            self._keys_of = len(self._fields)
            self._asked = self, ""
            self._by_key = {self.key(value): made for value, made in self._learned}
        if self._asked[0] is not value:
            self._asked = value, self.key(value)
        return self._asked[1]

    def watch(self, function: Callable[[], _Made]) -> _Made:
        """Run the function on some value, and note what it reads."""
        with noted(self._fields):
            return function()

    def learn(self, value: object, made: str) -> None:
        """Keep what was made of a value while it was watched."""
        self._learned.append((value, made))
        if self._keys_of == len(self._fields):
            self._by_key[self._key_now(value)] = made

    def save(self) -> None:
        """Write what was learned: only now, since before all that is read is known, the keys may still change."""
        if not self._learned:
            return
        self._fields |= self._kept_fields()
        self._store.keep(self._key_of_fields(), json.dumps(sorted(self._fields)).encode())
        if self._keys_of != len(self._fields):
            self._by_key = {self.key(value): made for value, made in self._learned}
        for key, made in self._by_key.items():
            self._store.keep(key, made.encode())

    def key(self, value: object) -> str:
        """Equal for values that the function cannot tell apart, by all that is known of it."""
        return key_of(self._about, repr(sorted(self._fields)), content(value, self._fields))

    def _kept_fields(self) -> set[Field]:
        return self._store.read_as(self._key_of_fields(), _fields_in) or set()

    def _key_of_fields(self) -> str:
        return key_of("fields", self._about)


def _fields_in(body: bytes) -> set[Field]:
    return {(str(kind), str(name)) for kind, name in json.loads(body)}


class RememberedFiles:
    """What one pure function made of values, as the bytes of files: made only where they are not there yet."""

    def __init__(self, names: Store, files: Store, about: bytes, fresh: bool = False) -> None:
        self._names = Remembered(names, about, fresh)
        """Of each value, under which name the file is kept: that of its content."""
        self._files = files

    def known(self, value: object) -> bytes | None:
        """What was made of a value like this one."""
        name = self._names.known(value)
        return None if name is None else self._files.read_content(name)

    def of(self, value: object, make: Callable[[], bytes]) -> bytes:
        """What the function makes of a value: what is known, else what `make` makes, which is watched and learned."""
        known = self.known(value)
        if known is not None:
            count_as_read(self._names.fields)
            return known
        made = self._names.watch(make)
        self._names.learn(value, self._files.keep_content(made))
        return made

    def save(self) -> None:
        """Write down what was learned."""
        self._names.save()
