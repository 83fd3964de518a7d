"""Where a name is defined and where it is used, in all files of a piece; and its renaming."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain, islice
from pathlib import Path

from cavata.editor.page import Meaning, ScriptPage, WordKind
from cavata.editor.tokens import composed
from cavata.names.loader import SUFFIX, standard_library
from cavata.names.program import DefinitionSort
from cavata.record import replace
from cavata.source import Span

_RENAMED = frozenset([
    *(sort for sort in DefinitionSort), WordKind.PARAMETER, WordKind.PART, WordKind.GROUP, WordKind.STAFF,
    WordKind.MOVEMENT, WordKind.SECTION, WordKind.VERSION,
])  # fmt: skip
MOST_FOLDERS = 500
"""Folders of an editor's that are looked through for scripts."""


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


def scripts_in(folder: str, *whole: str) -> Iterator[str]:
    """The scripts of a folder, and those of whole trees of folders, each once; of large trees not all."""
    met: set[str] = set()
    walks = chain(islice(os.walk(folder), 1), islice(chain.from_iterable(map(os.walk, whole)), MOST_FOLDERS))
    for inside, below, files in walks:
        below[:] = [each for each in below if not each.startswith(".")]
        for name in sorted(files):
            path = os.path.realpath(os.path.join(inside, name))
            if name.endswith(SUFFIX) and path not in met:
                met.add(path)
                yield path


def uses(page: ScriptPage, offset: int, others: Iterable[ScriptPage] = ()) -> tuple[tuple[str, Span], ...]:
    """Every word that stands for what the word at an offset stands for, its definition among them: in all files of the
    piece, and in those of other pieces."""
    found = page.meaning_at(offset)
    if found is None or found[1].kind not in _RENAMED:
        return ()
    files: dict[str, ScriptPage] = {}
    for piece in (page, *others):
        for each in pages_of(piece):
            files.setdefault(each.key, each)
    return tuple((key, span) for key, each in files.items() for span in _words_for(each, found[1]))


def _words_for(page: ScriptPage, meant: Meaning) -> Iterator[Span]:
    for token, meaning in page.meanings():
        if meaning.key == meant.key:
            yield Span(page.source, token.start, token.name_end)


def renamable(page: ScriptPage, offset: int) -> Span | None:
    """The name at an offset, if it is one that may be changed: it is defined in a file of the composer's."""
    found = page.meaning_at(offset)
    if found is None or found[1].kind not in _RENAMED or not is_own(_file_of(page, found[1])):
        return None
    token = found[0]
    return Span(page.source, token.start, token.name_end)


ReadAgain = Callable[[str, Mapping[str, str]], ScriptPage]
"""A script as far as its names, some files with other texts."""


class NotRenamed(Exception):
    """A name that cannot be given, with the reason."""


def renamed(
    page: ScriptPage, offset: int, name: str, others: Iterable[ScriptPage], again: ReadAgain
) -> tuple[tuple[str, Span], ...]:
    """The words that are to be replaced by a new name, by files, in the piece and in others; `again` reads a piece with
    other texts. Raises NotRenamed where the new name would not be one, or would mean something else as well.

    A word under which a file knows the thing by `as` stays as it is.
    """
    found = page.meaning_at(offset)
    if found is None or renamable(page, offset) is None:
        return ()
    meant, pieces = found[1], (page, *others)
    places = tuple((key, span) for key, span in uses(page, offset, pieces[1:]) if composed(span.text) == meant.name)
    texts: dict[str, str] = {}
    moved: dict[str, set[int]] = {}
    for key, span in sorted(places, key=lambda each: each[1].start, reverse=True):
        text, longer = texts.get(key, span.source.text), len(name) - len(span.text)
        texts[key] = text[: span.start] + name + text[span.end :]
        moved[key] = {span.start, *(start + longer for start in moved.get(key, ()))}
    for piece in pieces:
        before, after = again(piece.key, {}), again(piece.key, texts)
        for each in pages_of(after):
            now = {span.start for span in _words_for(each, replace(meant, name=composed(name))) if span.text == name}
            if now != moved.get(each.key, set()):
                raise NotRenamed(f"`{name}` means something else in `{each.source.name}`, or can be no name there")
        wrong = Counter(each.code for each in after.compiled.bag.ordered())
        if wrong - Counter(each.code for each in before.compiled.bag.ordered()):
            raise NotRenamed(f"with the name `{name}` there would be a mistake in `{piece.source.name}`")
    return places
