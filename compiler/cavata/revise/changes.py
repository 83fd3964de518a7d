"""What of a script may give way to a length: metronome numbers, repeats, and bars in which music only goes round.

In: the tree of a script. Out: for each such place what it says and what it could say; a choice of these made in the
tree, to be compiled, and made in the text, to be pasted or written. Both say the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from enum import Enum
from fractions import Fraction

from cavata.record import record, replace
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit, without

_RATE = re.compile(r"(\d+/\d+\.*\s+at\s+)(\d+(?:\.\d+)?)")
_BARS = re.compile(r' *(?:"(?:[^"\\\n]|\\.)*" *)?(\d+)(?= +bars?\b)')
_REPEATED = re.compile(r"repeated(?:\s+\d+\s+times)?")
_NUMBER = re.compile(r"\d+")


class ChangeSort(Enum):
    """What gives way."""

    TEMPO = "tempo"
    REPEAT = "repeat"
    SECTION = "section"
    ITEM = "item"


@record
class RowChange:
    """One place of the script, and what it says now: a metronome number, times in all, or bars."""

    sort: ChangeSort
    span: Span
    """Of the row, of the section's name, or of what says how many bars an item lasts."""
    was: Fraction
    value: Fraction
    movement: str
    section: str = ""

    @property
    def key(self) -> tuple[ChangeSort, int]:
        """Which place it is."""
        return self.sort, self.span.start

    @property
    def ratio(self) -> Fraction:
        """How many times as much."""
        return self.value / self.was


# ------------------------------------------------------------------ what may give way


def tempi_of(movements: Iterable[t.ParsedMovement]) -> tuple[RowChange, ...]:
    """Every metronome number that is not fixed, as it is."""
    return tuple(
        RowChange(ChangeSort.TEMPO, row.span, row.per_minute, row.per_minute, movement.name.text)
        for movement in movements for row in _settings(movement)
        if isinstance(row, t.TempoRow) and row.per_minute is not None and not row.fixed
    )  # fmt: skip


def _settings(movement: t.ParsedMovement) -> Iterator[t.Setting]:
    yield from movement.settings
    for section in movement.sections:
        yield from section.settings


def repeats_of(movements: Iterable[t.ParsedMovement]) -> tuple[tuple[RowChange, ...], ...]:
    """For each section that is repeated alike each time, the ways to play it fewer times; the smallest change first."""
    found: list[tuple[RowChange, ...]] = []
    for movement in movements:
        for section in movement.sections:
            rows = section.repeats
            row = rows[0] if len(rows) == 1 else None
            if isinstance(row, t.Repeated):
                found.append(tuple(
                    RowChange(ChangeSort.REPEAT, row.span, Fraction(row.times), Fraction(times), movement.name.text,
                           section.called)
                    for times in range(row.times - 1, 0, -1)
                ))  # fmt: skip
    return tuple(found)


def shorter(movement: t.ParsedMovement, section: t.ParsedSection, bars: int, left: int) -> tuple[RowChange, ...]:
    """What a section of so many bars says so that `left` of them are left: its own number, and lengths of items.

    Empty where nothing in it says how many bars it lasts. Whether what is left is music, compiling it shows.
    """
    names = movement.name.text, section.called
    found = []
    if section.bars is not None and section.name is not None and _says_bars(section.name.span):
        found.append(RowChange(ChangeSort.SECTION, section.name.span, Fraction(bars), Fraction(left), *names))
    for line in section.rows:
        if isinstance(line, t.Line):
            change = _last_item(line, left)
            if change is not None:
                span, was, value = change
                found.append(RowChange(ChangeSort.ITEM, span, Fraction(was), Fraction(value), *names))
    return tuple(found)


def _last_item(line: t.ParsedLine, left: int) -> tuple[Span, int, int] | None:
    """How many bars a line's last item has, and how many are left to it, if all before it is counted in bars."""
    place = line.place
    if place is not None and (place.beat != 1 or place.offset or not place.counted):
        return None
    begin = 1 if place is None else place.bar
    for item in line.items[:-1]:
        before = _bars_of(item)
        if isinstance(item, t.RestTo):
            begin = item.bar
        elif before is None:
            return None
        else:
            begin += before[0]
    last = _bars_of(line.items[-1]) if line.items else None
    if last is None or begin + last[0] - 1 <= left or begin > left:
        return None
    return last[1], last[0], left - begin + 1


def _bars_of(item: t.ParsedItem) -> tuple[int, Span] | None:
    if isinstance(item, t.RestItem) and isinstance(item.length, t.Bars):
        return item.length.count, item.span
    repeat = item.repeat if isinstance(item, t.Item) else None
    if isinstance(repeat, t.ForLength | t.Held) and isinstance(repeat.length, t.Bars):
        return repeat.length.count, repeat.span
    return None


# ------------------------------------------------------------------ made in the tree


def in_tree(module: t.Module, changes: Iterable[RowChange]) -> t.Module:
    """The script as it reads with the changes."""
    said = {change.key: change.value for change in changes}
    return replace(module, declarations=tuple(
        _movement(each, said) if isinstance(each, t.Movement) else each for each in module.declarations
    ))  # fmt: skip


_Said = Mapping[tuple[ChangeSort, int], Fraction]


def _movement(movement: t.ParsedMovement, said: _Said) -> t.ParsedMovement:
    settings = tuple(row for row in _rows(movement.settings, said) if isinstance(row, t.Setting))
    sections = []
    for section in movement.sections:
        bars = None if section.name is None else said.get((ChangeSort.SECTION, section.name.span.start))
        rows = tuple(_rows(section.rows, said))
        sections.append(replace(section, rows=rows, bars=section.bars if bars is None else int(bars)))
    return replace(movement, settings=settings, sections=tuple(sections))


def _rows(rows: Iterable[t.ParsedRow], said: _Said) -> Iterator[t.ParsedRow]:
    for row in rows:
        match row:
            case t.TempoRow():
                yield replace(row, per_minute=said.get((ChangeSort.TEMPO, row.span.start), row.per_minute))
            case t.Repeated():
                times = int(said.get((ChangeSort.REPEAT, row.span.start), Fraction(row.times)))
                if times > 1:
                    yield replace(row, times=times)
            case t.Line():
                yield replace(row, items=tuple(_item(item, said) for item in row.items))
            case _:
                yield row


def _item(item: t.ParsedItem, said: _Said) -> t.ParsedItem:
    bars = _bars_of(item)
    value = None if bars is None else said.get((ChangeSort.ITEM, bars[1].start))
    if value is None:
        return item
    length = t.Bars(int(value))
    if isinstance(item, t.RestItem):
        return replace(item, length=length)
    assert isinstance(item, t.Item) and isinstance(item.repeat, t.ForLength | t.Held)
    return replace(item, repeat=replace(item.repeat, length=length))


# ------------------------------------------------------------------ made in the text


def edit_of(change: RowChange) -> Edit:
    """The change as an edit of the script's text."""
    span, value = change.span, str(int(change.value))
    match change.sort:
        case ChangeSort.TEMPO:
            return _at(_RATE.search(span.source.text, span.start, span.end), 2, value)
        case ChangeSort.REPEAT:
            row = repeat_span(span)
            if change.value == 1:
                return without(row)
            words = "repeated" if change.value == 2 else f"repeated {value} times"
            return Edit(row.start, row.end, words)
        case ChangeSort.SECTION:
            return _at(_says_bars(span), 1, value)
        case ChangeSort.ITEM:
            return _at(_NUMBER.search(span.source.text, span.start, span.end), 0, value)


def repeat_span(span: Span) -> Span:
    """The whole row of a repeat, of which the tree keeps the place of its number."""
    source: Source = span.source
    start = source.line_start(span.line)
    found = _REPEATED.search(source.text, start)
    assert found is not None
    return Span(source, found.start(), found.end())


def _at(found: re.Match[str] | None, group: int, value: str) -> Edit:
    assert found is not None
    return Edit(found.start(group), found.end(group), value)


def _says_bars(name: Span) -> re.Match[str] | None:
    """The number of bars that a section says after its name."""
    return _BARS.match(name.source.text, name.end)
