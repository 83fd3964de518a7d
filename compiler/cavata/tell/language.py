"""The words of a language in which a piece is told of, read from their file: another language is one file more.

In: a code such as `de`. Out: its texts. Files lie in `words/`; what one must hold, the tests compare with `en.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources
from typing import Any

from cavata.record import dataclass
from cavata.score.whereabouts import listed
from cavata.tell.forms import Form


@dataclass(frozen=True, slots=True)
class Language:
    """One language."""

    code: str
    """As HTML's `lang` wants it."""
    tables: Mapping[str, Any]

    def text(self, table: str, key: str, **values: object) -> str:
        """A text with its blanks filled in."""
        words: Any = self.tables
        for part in table.split("."):
            words = words[part]
        return str(words[key]).format(**values)

    def form(self, form: Form) -> str:
        """A form in plain words."""
        return self.text("forms", form.value)

    def listed(self, words: Sequence[str]) -> str:
        """`a, b and c`."""
        return listed(words, self.text("lists", "and"))


def languages() -> tuple[str, ...]:
    """The codes of the languages that are there."""
    folder = resources.files("cavata.tell").joinpath("words")
    return tuple(sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml")))


@cache
def language(code: str) -> Language:
    """A language that is there."""
    text = resources.files("cavata.tell").joinpath("words", f"{code}.toml").read_text(encoding="utf-8")
    return Language(code, tomllib.loads(text))
