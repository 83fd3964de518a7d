"""Where a name is defined and where it is used, in all files of a piece; and its renaming."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from cavata.editor.page import Meaning, ScriptPage, WordKind
from cavata.names.loader import standard_library
from cavata.names.program import DefinitionSort
from cavata.source import Span

_RENAMED = frozenset([
    *(sort for sort in DefinitionSort), WordKind.PARAMETER, WordKind.PART, WordKind.GROUP, WordKind.STAFF,
    WordKind.MOVEMENT, WordKind.SECTION, WordKind.VERSION,
])  # fmt: skip
_NAME = re.compile(r"[^\W\d]\w*")


def definition(page: ScriptPage, offset: int) -> tuple[str, Span] | None:
    """The file and the place where what a word stands for is defined; a module by the beginning of its file."""
    found = page.meaning_at(offset)
    if found is None:
        return None
    _, meaning = found
    if meaning.kind is WordKind.MODULE:
        return _module(page, meaning.name)
    if meaning.declared is None:
        return None
    return _file_of(page, meaning), meaning.declared


def _file_of(page: ScriptPage, meaning: Meaning) -> str:
    within = meaning.within
    return within if isinstance(meaning.kind, DefinitionSort) or within == page.key else within.rpartition(" ")[0]


def _module(page: ScriptPage, name: str) -> tuple[str, Span] | None:
    if page.loaded is None:
        return None
    for use, target in page.loaded.uses.get(page.key, ()):
        if use.origin.span.text.strip('"') == name and target in page.loaded.modules:
            return target, Span(page.loaded.modules[target].source, 0, 0)
    return None


def pages_of(page: ScriptPage) -> Iterator[ScriptPage]:
    """The page, and those of the other files that belong to the composer."""
    yield page
    if page.loaded is not None:
        for key, module in page.loaded.modules.items():
            if key != page.key and is_own(key):
                yield ScriptPage(module.source, key, page.compiled)


def is_own(key: str) -> bool:
    """Whether a file is no part of the standard library."""
    return not Path(key).is_relative_to(standard_library().folder)


def uses(page: ScriptPage, offset: int) -> tuple[tuple[str, Span], ...]:
    """Every word, in all files, that stands for what the word at an offset stands for, its definition among them."""
    found = page.meaning_at(offset)
    if found is None or found[1].kind not in _RENAMED:
        return ()
    key = found[1].key
    return tuple(
        (each.key, Span(each.source, token.start, token.start + len(token.name)))
        for each in pages_of(page) for token, meaning in each.meanings() if meaning.key == key
    )  # fmt: skip


def renamable(page: ScriptPage, offset: int) -> Span | None:
    """The name at an offset, if it is one that may be changed: it is defined in a file of the composer's."""
    found = page.meaning_at(offset)
    if found is None or found[1].kind not in _RENAMED or not is_own(_file_of(page, found[1])):
        return None
    token = found[0]
    return Span(page.source, token.start, token.start + len(token.name))


def renamed(page: ScriptPage, offset: int, name: str) -> tuple[tuple[str, Span], ...] | None:
    """The words that are to be replaced by a new name, by files; None if that is no name, or means something already.

    A word under which a file knows the thing by `as` stays as it is.
    """
    found = page.meaning_at(offset)
    if found is None or renamable(page, offset) is None or not _NAME.fullmatch(name):
        return None
    old = found[1].name
    taken = page.scope.find(name) is not None or name in page.players
    if taken and name != old:
        return None
    return tuple((key, span) for key, span in uses(page, offset) if span.text == old)


