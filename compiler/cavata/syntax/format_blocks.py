"""Where every statement of a page is to stand, and every comment between statements.

In: the statements that the layout pass found, and the messages about them. Out: for each line on
which a statement begins, how far it goes, its indentation, and whether it is left as it stands.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence

from cavata.diagnostics.record import Diagnostic
from cavata.record import dataclass
from cavata.source import Source
from cavata.syntax.format_lines import STEP
from cavata.syntax.format_tokens import tokens_of
from cavata.syntax.layout import Statement, walk

_UNPLACED = frozenset(["S103", "S108"])
"""Messages about an indentation: mending it would be guessing which block is meant."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A statement's place. Lines are counted from 0."""

    was: int
    """The indentation that it has in the text."""
    indent: int
    """The indentation that it gets."""
    last: int
    """Its last line; that of its block if it is left alone."""
    is_kept: bool
    block: int
    """The number of the block that it stands in; 0 at the left margin."""
    above: str
    """The first word of the statement whose block it is."""
    up: Placed | None

    @property
    def shift(self) -> int:
        """How far its lines move if it is left alone."""
        return self.indent - self.was


class Blocks:
    """The statements of one source by their first lines."""

    def __init__(
        self, source: Source, roots: Sequence[Statement], messages: Iterable[Diagnostic], left_alone: frozenset[int]
    ) -> None:
        self.source = source
        self.at: dict[int, Placed] = {}
        self._every: dict[int, Placed] = {}
        self._codes: dict[int, set[str]] = {}
        first_lines = sorted(self._line(s.span.start) for s in walk(list(roots)))
        for message in messages:
            assert message.span is not None, "whatever a script's syntax is told has a place"
            owner = bisect_right(first_lines, message.span.line - 1) - 1
            self._codes.setdefault(first_lines[max(0, owner)], set()).add(message.code)
        # Declarations are counted as the tree counts them: an indented statement is none.
        margin = [root for root in roots if not root.indent]
        alone = {id(margin[number]) for number in left_alone}
        for root in roots:
            self._place(root, id(root) in alone)
        self._first_lines = sorted(self._every)

    def _line(self, offset: int) -> int:
        return self.source.line_of(offset) - 1

    def _place(self, root: Statement, is_alone: bool) -> None:
        waiting: list[tuple[Statement, Placed | None, str, bool]] = [(root, None, "", is_alone)]
        while waiting:
            statement, up, above, within_kept = waiting.pop()
            first = self._line(statement.span.start)
            codes = self._codes.get(first, set())
            is_kept = within_kept or bool(codes)
            if within_kept and up is not None:
                indent = max(0, statement.indent + up.shift)
            elif is_alone or codes & _UNPLACED:
                indent = statement.indent
            else:
                indent = 0 if up is None else up.indent + STEP
            last = self._last(statement) if is_kept else self._line(statement.span.end)
            block = 0 if up is None else id(up)
            placed = Placed(statement.indent, indent, last, is_kept, block, above, up)
            self._every[first] = placed
            if not within_kept or up is None:
                self.at[first] = placed
            if statement.block:
                tokens, _ = tokens_of(self.source.line_text(first + 1))
                word = tokens[0].text if tokens else ""
                waiting += [(row, placed, word, is_kept) for row in statement.block]

    def _last(self, statement: Statement) -> int:
        return max(self._line(s.span.end) for s in walk([statement]))

    def comment_indent(self, line: int, was: int) -> int:
        """The indentation of a comment alone on its line: that of the block it stands in, as its own shows.

        It stands at least as deep as the statement after it; further in if it was, for it may end a block.
        """
        number = bisect_right(self._first_lines, line)
        after = self._every[self._first_lines[number]] if number < len(self._first_lines) else None
        before = self._every[self._first_lines[number - 1]] if number else None
        floor_was, floor = (after.was, after.indent) if after is not None else (0, 0)
        if was <= floor_was or before is None:
            return floor
        found = max(floor, before.indent + STEP) if was > before.was else floor
        while before is not None and before.was > floor_was:
            if was <= before.was:
                found = before.indent
            before = before.up
        return max(found, floor)
