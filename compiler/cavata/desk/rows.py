"""Rows that a card would write: where in the script they go, and which words they take the place of."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from cavata.desk.views import NotThere
from cavata.editor.names import uses
from cavata.editor.page import ScriptPage
from cavata.editor.tokens import ScriptRow, row_at, script_rows
from cavata.music.pitch import Pitch, parse_pitch
from cavata.pipeline import Compiled
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit

_FROM = re.compile(r"\s*->\s*from\s+([A-G][#b]*\d)\b")
_HEARD = ("motif", "figure", "movement", "cadenza", "passage")
"""With which declarations begin that use what is heard."""


def row_of(span: Span) -> ScriptRow:
    """The whole statement in which a place of a script lies."""
    found = row_at(script_rows(span.source), span.start)
    assert found is not None
    return found


def name_tree(module: t.Module, word: str) -> t.Name:
    """The row of a name. Raises NotThere."""
    for each in module.declarations:
        if isinstance(each, t.Name) and each.name.text == word:
            return each
    raise NotThere(f"the script has no name `{word}`")


def uses_of(compiled: Compiled, word: str) -> tuple[Span, ...]:
    """Where motifs and rows of the score use a name of the script, in the script itself."""
    assert compiled.loaded is not None
    key = compiled.loaded.main
    module = compiled.loaded.modules[key]
    page = ScriptPage(module.source, key, compiled)
    found = uses(page, name_tree(module, word).name.span.start)
    return tuple(
        span for file, span in found
        if file == key and row_of(span).top.span.text.split(maxsplit=1)[0] in _HEARD
    )  # fmt: skip


def moved_starts(places: Iterable[Span], first: Pitch) -> Iterator[Edit]:
    """Where `from F4` follows a name at these places: the note with which it begins now, as near to that as can be."""
    for span in places:
        found = _FROM.match(span.source.text, span.end)
        if found is not None:
            was = parse_pitch(found[1]).midi
            octaves = [Pitch(first.position + 7 * octave, first.alter) for octave in range(-6, 7)]
            nearest = min(octaves, key=lambda pitch: (abs(pitch.midi - was), pitch.midi))
            yield Edit(found.start(1), found.end(1), str(nearest))


def below(span: Span, row: str) -> Edit:
    """A row in the line after a statement, as far to the right as that."""
    source: Source = span.source
    statement = row_of(span)
    end = source.line_end(statement.last)
    indent = " " * (statement.span.start - source.line_start(statement.span.line))
    return Edit(end, end, f"\n{indent}{row}")


def used_from(module: t.Module, word: str, library: str) -> list[Edit]:
    """What brings a thing of the library into a script; nothing where the script has it."""
    rows = [each for each in module.declarations if isinstance(each, t.Use)]
    for each in rows:
        names = {name.text for name in each.names}
        if isinstance(each.origin, t.Word) and each.origin.text == library and (not names or word in names):
            return []
    row = f"use {word} from {library}"
    if rows:
        return [below(rows[-1].span, row)]
    first = module.source.text.find("\n") + 1
    return [Edit(first, first, f"\n{row}\n")]
