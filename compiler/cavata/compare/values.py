"""Two versions of a script that has no music of its own: which of its definitions came to something else.

In: two plans. Out: a comparison with a change for each definition.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.ciphers.cipher import Cipher
from cavata.compare.changes import Change, Comparison, Kind
from cavata.evaluate.plan import Plan, Value
from cavata.evaluate.text import value_lines


def compared_values(old: Plan, new: Plan, title: str) -> Comparison:
    """What became of the definitions of the script itself; those of its library are left out."""
    return Comparison(title, tuple(_changes(_values(old), _values(new))), Fraction(0), Fraction(0))


def _values(plan: Plan) -> dict[str, Value]:
    return {identity.name: value for identity, value in plan.values.items() if identity.module == plan.main}


def _changes(old: dict[str, Value], new: dict[str, Value]) -> Iterator[Change]:
    for name, value in new.items():
        if name not in old:
            yield Change(Kind.VALUE, f"{name} is new" + ("" if isinstance(value, Cipher) else f": {_text(value)}"))
            continue
        before = old[name]
        if isinstance(value, Cipher) and isinstance(before, Cipher):
            yield from _of_cipher(name, before, value)
        elif _text(before) != _text(value):
            yield Change(Kind.VALUE, f"{name} is {_text(value)} instead of {_text(before)}")
    yield from (Change(Kind.VALUE, f"{name} is gone") for name in old if name not in new)


def _text(value: Value) -> str:
    return "; ".join(value_lines(value))


def _of_cipher(name: str, old: Cipher, new: Cipher) -> Iterator[Change]:
    """The letters that got other notes."""
    was, now = (dict(row.split(":", 1) for row in _text(each).split()) for each in (old, new))
    for letter in dict.fromkeys((*was, *now)):
        if was.get(letter) != now.get(letter):
            before, after = (rows.get(letter, "no note").replace("|", " or ") for rows in (was, now))
            yield Change(Kind.VALUE, f"{name}: {letter} is {after} instead of {before}")
