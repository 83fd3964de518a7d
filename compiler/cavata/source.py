"""Source text and places in it.

In: the text of one file. Out: spans as character offsets, and the line and column a reader
or an editor wants for them. Everything later points at text through a `Span`.
"""

from __future__ import annotations

import dataclasses
from bisect import bisect_right
from dataclasses import field

from cavata.record import SLOTS, record


@dataclasses.dataclass(frozen=True, eq=False)
class Source:
    """One file's text under the name it is shown by."""

    name: str
    text: str = field(repr=False)
    line_starts: tuple[int, ...] = field(init=False, repr=False)
    at: int = field(init=False, repr=False, default=0)
    """From where on spans count what they remember: the beginning, but for a statement that moves."""
    above: int = field(init=False, repr=False, default=0)
    """How many lines of the file are above the text: none, but for a statement that is gone."""

    def __post_init__(self) -> None:
        starts = [0]
        position = self.text.find("\n")
        while position >= 0:
            starts.append(position + 1)
            position = self.text.find("\n", position + 1)
        object.__setattr__(self, "line_starts", tuple(starts))

    def line_of(self, offset: int) -> int:
        """The line of an offset, counted from 1."""
        return self.above + bisect_right(self.line_starts, offset)

    def line_start(self, line: int) -> int:
        """The offset at which a line begins."""
        return self.line_starts[line - self.above - 1]

    def line_end(self, offset: int) -> int:
        """The offset of the first line end from an offset on, or of the end of the text."""
        end = self.text.find("\n", offset)
        return len(self.text) if end < 0 else end

    def column_of(self, offset: int) -> int:
        """The column of an offset in characters, counted from 1."""
        return offset - self.line_start(self.line_of(offset)) + 1

    def line_text(self, line: int) -> str:
        """The text of a line counted from 1, without its line end."""
        start = self.line_start(line)
        return self.text[start : self.line_end(start)]


class MovingSource(Source):
    """A statement of a file that is being edited: the file as it is now, and where in it the statement stands.

    What was read and computed of a statement stays equal to itself wherever the statement comes to stand: spans of it
    remember how far from its beginning they are.
    """

    def __init__(self, file: Source, at: int) -> None:
        self.move(file, at)

    def move(self, file: Source, at: int) -> None:
        """The statement stands there now, its text unchanged."""
        for name, value in (("name", file.name), ("text", file.text), ("line_starts", file.line_starts), ("at", at)):
            object.__setattr__(self, name, value)

    def leave(self, length: int) -> None:
        """The statement, of that length, is no longer in the file, of which only its own lines are held: for who still
        speaks of it they tell text, lines and columns as before."""
        line = self.line_of(self.at)
        start = self.line_start(line)
        lines = self.text[start : self.line_end(self.at + length)]
        self.move(Source(self.name, lines), self.at - start)
        object.__setattr__(self, "above", line - 1)


@record
class Span:
    """The characters from `start` up to, not including, `end` of one source."""

    source: Source
    begins: int
    """From `source.at` on, as is `ends`."""
    ends: int

    def __init__(self, source: Source, start: int, end: int) -> None:
        _set_source(self, source)
        _set_begins(self, start - source.at)
        _set_ends(self, end - source.at)

    def __reduce__(self) -> tuple[type, tuple[Source, int, int]]:
        return Span, (self.source, self.start, self.end)

    @property
    def start(self) -> int:
        """Counted from the beginning of the file, as is `end`."""
        return self.begins + self.source.at

    @property
    def end(self) -> int:
        """The character after the last one."""
        return self.ends + self.source.at

    def to(self, other: Span) -> Span:
        """The span from the start of this one to the end of another of the same source."""
        return Span(self.source, self.start, other.end)

    @property
    def text(self) -> str:
        """The characters themselves."""
        return self.source.text[self.start : self.end]

    @property
    def line(self) -> int:
        """The line on which it starts, counted from 1."""
        return self.source.line_of(self.start)

    @property
    def column(self) -> int:
        """The column at which it starts, counted from 1."""
        return self.source.column_of(self.start)


_set_source, _set_begins, _set_ends = (slot.__set__ for slot in SLOTS[Span].values())
