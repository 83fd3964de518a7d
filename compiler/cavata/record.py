"""The decorator of frozen value types, made quickly.

In: a class that would be decorated with `dataclasses.dataclass(frozen=True, slots=True)`. Out: a class that behaves
alike: immutable, with slots, compared and hashed by its fields. The standard library writes and compiles six
methods for each class, which for the many small types of a compiler was a fifth of the time of a check; here only
`__init__` is compiled, and the other methods are shared by all.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar, dataclass_transform

_Class = TypeVar("_Class", bound=type)
SLOTS: dict[type, dict[str, Any]] = {}
"""Every record, with the slots of its fields, which read and set them in any value of it, in order."""


@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def record(cls: _Class) -> _Class:
    """A frozen value type with slots, as `dataclasses.dataclass(frozen=True, slots=True)` would make it."""
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    fields = dataclasses.fields(made)
    SLOTS[made] = {field.name: made.__dict__[field.name] for field in fields}
    if "__init__" not in cls.__dict__:
        made.__init__ = _init(made, fields)
    names = [field.name for field in fields if field.compare]
    made._compared = staticmethod(attrgetter(*names) if names else _nothing)
    for name, method in _SHARED.items():
        if name not in cls.__dict__:
            setattr(made, name, method)
    result: _Class = made
    return result


if TYPE_CHECKING:
    from dataclasses import replace as replace
else:

    def replace(value: Any, /, **changes: Any) -> Any:
        """As `dataclasses.replace`, for the types made here, at a third of its cost."""
        names = value.__match_args__
        made = value.__class__(*[changes.pop(name) if name in changes else getattr(value, name) for name in names])
        if changes:
            raise TypeError(f"{value.__class__.__qualname__} has no field {', '.join(sorted(changes))}")
        return made


def _init(made: Any, fields: tuple[dataclasses.Field[Any], ...]) -> Any:
    """The `__init__` of a class: each field set by its slot, which the class itself forbids everyone else."""
    known: dict[str, Any] = {"made": made}
    parameters, body = [], []
    for field in fields:
        assert field.default_factory is dataclasses.MISSING and field.init, "give the field a plain default"
        known[f"set_{field.name}"] = SLOTS[made][field.name].__set__
        if field.default is not dataclasses.MISSING:
            known[f"default_{field.name}"] = field.default
            parameters.append(f"{field.name}=default_{field.name}")
        else:
            parameters.append(field.name)
        body.append(f"set_{field.name}(self, {field.name})")
    if hasattr(made, "__post_init__"):
        body.append("self.__post_init__()")
    exec(f"def __init__(self, {', '.join(parameters)}):\n " + "\n ".join(body or ["pass"]), known)
    known["__init__"].__qualname__ = f"{made.__qualname__}.__init__"
    return known["__init__"]


def _nothing(_: object) -> tuple[()]:
    return ()


def _equal(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self._compared(self) == self._compared(other)


def _hash(self: Any) -> int:
    return hash(self._compared(self))


def _repr(self: Any) -> str:
    fields = ", ".join(f"{f.name}={getattr(self, f.name)!r}" for f in dataclasses.fields(self) if f.repr)
    return f"{self.__class__.__qualname__}({fields})"


def _set(self: Any, name: str, _: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _reduce(self: Any) -> tuple[type, tuple[Any, ...]]:
    """Pickled and copied as the call that makes it."""
    return self.__class__, tuple([getattr(self, name) for name in self.__match_args__])


_SHARED = {
    "__eq__": _equal, "__hash__": _hash, "__repr__": _repr, "__setattr__": _set, "__delattr__": _delete,
    "__reduce__": _reduce,
}  # fmt: skip
