"""A row of its own for bars of a part: how one player's octave is changed where several play an item.

In: an item of a score line, and the score. Out: the row `PART bars N to M: ...` below the line, if the item is all that
the part plays in whole bars of the section in which it is written. Sections that are made from this one take it over.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.names.loader import Loaded
from cavata.record import record
from cavata.score.score import Movement, Part, Score, events_of
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit


@record
class BarsRow:
    """Where the row goes, and what it says before its transform."""

    at: int
    """The end of the line of text below which it stands."""
    words: str

    def edit(self, step: str) -> Edit:
        """The row with a transform."""
        return Edit(self.at, self.at, f"\n{self.words}: {step}")


def bars_row(item: Span, part: Part, loaded: Loaded, score: Score) -> BarsRow | None:
    """The row for an item in a part; None where there can be none."""
    written = next(_lines_with(item, loaded), None)
    if written is None or part.instrument.staves != ("",):
        return None
    movement, section, line = written
    laid = next((each for each in score.movements if each.name == movement.name.text), None)
    bars = None if laid is None else _bars_alone(item, part, section.called, laid, score)
    if bars is None:
        return None
    text = item.source.text
    end = text.find("\n", line.items[-1].span.end)
    first_line = item.source.line_text(line.span.line)
    indent = first_line[: len(first_line) - len(first_line.lstrip())]
    return BarsRow(len(text) if end < 0 else end, f"{indent}{part.name} bars {bars[0]} to {bars[1]}")


def _lines_with(item: Span, loaded: Loaded) -> Iterator[tuple[t.ParsedMovement, t.ParsedSection, t.ParsedLine]]:
    """The line of the script that has the item, with its section and movement."""
    main = loaded.modules[loaded.main]
    if item.source.name != main.source.name:
        return
    for movement in main.declarations:
        if isinstance(movement, t.Movement):
            for section in movement.sections:
                for row in section.rows:
                    if isinstance(row, t.Line) and any(each.span.start == item.start for each in row.items):
                        yield movement, section, row


def _bars_alone(item: Span, part: Part, section: str, movement: Movement, score: Score) -> tuple[int, int] | None:
    """From which bar to which of its section the part plays the item, if it plays nothing else in them."""
    number = next((i for i, each in enumerate(movement.sections) if each.name == section), None)
    bars = [bar for bar in movement.bars if bar.section == number and bar.meter is not None]
    staves = movement.staves[score.parts.index(part)]
    mine: list[int] = []
    others: set[int] = set()
    for event in events_of(staves):
        here = [b.bar_in_section for b in bars if event.onset < b.end and event.end > b.onset]
        if event.line.start == item.start and event.line.source.name == item.source.name:
            mine += here
        else:
            others.update(here)
    if not mine or min(mine) < 1 or others & set(range(min(mine), max(mine) + 1)):
        return None
    return min(mine), max(mine)
