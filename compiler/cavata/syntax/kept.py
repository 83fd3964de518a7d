"""What was read of files that are being edited, so that only statements that changed are parsed again.

In: a file's text as it is now. Out: its module; statements that stood in the text before are the nodes that they were,
wherever they stand now.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable

from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.source import MovingSource, Source, Span
from cavata.syntax.layout import Reads, Statement, walk
from cavata.syntax.tree import Module
from cavata.syntax.tree_cache import read_module

_STILL_TOLD = 8
"""For how many readings of a file the places of what is gone stay what they were: states of the piece are held longer
than their files."""


class KeptStatements:
    """The statements of one file, by their text."""

    def __init__(self) -> None:
        self._known: defaultdict[str, deque[tuple[MovingSource, Reads]]] = defaultdict(deque)
        self._gone: deque[list[tuple[MovingSource, int]]] = deque()
        """Of the last readings those that were not found again, and how long they are."""

    def find(self, statements: Iterable[Statement]) -> None:
        """Let each statement be the one of the same text that was there before, the first for the first."""
        before, self._known = self._known, defaultdict(deque)
        for statement in walk(statements):
            span = statement.span
            known = before[span.text]
            source, read = known.popleft() if known else (MovingSource(span.source, span.start), {})
            source.move(span.source, span.start)
            self._known[span.text].append((source, read))
            statement.span, statement.read = Span(source, span.start, span.end), read
        self._gone.append([(source, len(text)) for text, found in before.items() for source, _ in found])
        if len(self._gone) > _STILL_TOLD:
            for source, length in self._gone.popleft():
                source.leave(length)


class KeptFiles:
    """The modules of a piece by their paths, each with the text that it was read from."""

    def __init__(self) -> None:
        self._modules: dict[str, tuple[Module, tuple[Diagnostic, ...]]] = {}
        self._statements: defaultdict[str, KeptStatements] = defaultdict(KeptStatements)

    def module(self, path: str, source: Source, bag: Diagnostics, borrowed: bool) -> Module:
        """The module of a file; one of a library is expected to stay as it is."""
        known = self._modules.get(path)
        if known is None or (known[0].source.name, known[0].source.text) != (source.name, source.text):
            with bag.within() as own:
                known = self._read(path, source, own, borrowed), tuple(own.collected)
            self._modules[path] = known
        else:
            bag.report_all(known[1])
        return known[0]

    def _read(self, path: str, source: Source, bag: Diagnostics, borrowed: bool) -> Module:
        if borrowed and path not in self._modules:
            return read_module(source, bag)
        from cavata.syntax.parse import parse  # loaded only when something has to be read

        return parse(source, bag, self._statements[path])
