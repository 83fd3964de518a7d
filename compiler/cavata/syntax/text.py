"""The syntax tree as text: one line a node, its fields after it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from enum import Enum

from cavata.music.event import Bars
from cavata.source import Span
from cavata.syntax.tree import Module


def module_text(module: Module) -> str:
    """Every declaration of a module, indented by depth, each node with its place."""
    return "\n".join(line for d in module.declarations for line in _lines(d, "", 0)) + "\n"


def _lines(value: object, label: str, depth: int) -> Iterator[str]:
    head = "  " * depth + (f"{label}: " if label else "")
    if isinstance(value, tuple) and value and any(_is_node(v) for v in value):
        for number, item in enumerate(value, 1):
            yield from _lines(item, f"{label} {number}", depth)
    elif _is_node(value):
        assert dataclasses.is_dataclass(value)
        span = getattr(value, "span", None)
        place = f"  {span.line}:{span.column}" if isinstance(span, Span) else ""
        fields = [(f.name, getattr(value, f.name)) for f in dataclasses.fields(value) if f.name != "span"]
        plain = " ".join(f"{name}={_short(v)}" for name, v in fields if not _nested(v) and v not in (None, "", ()))
        yield f"{head}{type(value).__name__} {plain}".rstrip() + place
        for name, inner in fields:
            if _nested(inner):
                yield from _lines(inner, name, depth + 1)
    else:
        yield head + _short(value)


def _is_node(value: object) -> bool:
    return (
        dataclasses.is_dataclass(value)
        and not isinstance(value, type | Enum)
        and (type(value).__module__.startswith("cavata.syntax.tree") or isinstance(value, Bars))
    )


def _nested(value: object) -> bool:
    return _is_node(value) or (isinstance(value, tuple) and any(_is_node(v) for v in value))


def _short(value: object) -> str:
    if isinstance(value, tuple):
        return "(" + " ".join(_short(v) for v in value) + ")"
    return str(value) if not isinstance(value, str) else repr(value)
