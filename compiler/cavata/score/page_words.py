"""The words that the compiler itself puts on a page, in the language of the piece.

In: a language, and which words. Out: the words, with what belongs into them. They lie in `stdlib/page_words.toml`,
apart from the code, so that another language is one table more; they are read when the first is asked for, and a check
asks for none.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from cavata.instruments.instrument import PageLanguage
from cavata.instruments.table import table_of

Groups = Mapping[str, Mapping[str, str]]


def words_in(language: PageLanguage) -> Groups:
    """All words of a language, by the part of a page or copy that they belong to."""
    return cast(Groups, table_of("page_words")[language.value.casefold()])


def page_words(language: PageLanguage, group: str, key: str, **values: object) -> str:
    """The words of a key, its blanks filled in; a key that is not there is a fault of the compiler's."""
    return words_in(language)[group][key].format(**values)
