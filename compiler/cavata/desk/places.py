"""From the script to the score: the bar at which a message belongs, the notes that come of a place.

In: messages on the texts of a state, or a place in a text, and the last good state. Out: for a message the bar that it
names, or else the first that its line made, in the last score that there is; for a place its notes. A line that changed
is the line that stood there before; a line that sounds nowhere itself, as that of a motif, is where it is used, and a
row of a section or a movement where that begins.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher

from cavata.desk.state import NotePosition, State
from cavata.diagnostics import Diagnostic
from cavata.score.score import Movement, Score, ScoreEvent, bar_at
from cavata.source import Source

_DEFINES = re.compile(r"\s*(?:name|motif|figure|rhythm|cipher|transform|mode|passage) +(\w+)")
_WORD = re.compile(r"[^\W\d]\w*")
_NAMED = re.compile(r" in bars? (\d+)\b(?!(?: to \d+)? of)")
"""A bar as `score.whereabouts` has it in messages; bars of a section are counted there."""
_MOVEMENT, _SECTION = re.compile(r"(?:movement|cadenza) +(\w+)"), re.compile(r"\s+section +(\w+)")
MovementBar = tuple[str, int]


def bars_of(messages: Sequence[Diagnostic], state: State, good: State | None) -> Mapping[int, MovementBar]:
    """For messages that have one, by their place in the sequence: the movement and the bar at which each belongs."""
    score = None if good is None else good.score
    placed = [(number, each.span) for number, each in enumerate(messages) if each.span is not None]
    if score is None or not placed:
        return {}
    events = [(movement, event) for movement in score.movements for event in movement.events]
    found = {}
    for number, span in placed:
        bars = _bars_of(span.source.name, span.source.text, span.line, events)
        first = next(bars, None) or _beginning(span.source.name, span.source.text, span.line, score)
        if first is not None:
            named = _NAMED.search(messages[number].message)
            found[number] = first
            if named is not None:
                found[number] = next((bar for bar in (first, *bars) if str(bar[1]) == named[1]), first)
    return found


def _bars_of(file: str, text: str, line: int, events: Sequence[tuple[Movement, ScoreEvent]]) -> Iterator[MovementBar]:
    """The bars in which what a line made begins, or else what a value made which is defined there."""
    lines: dict[str, int] = {}
    """For each text of the file that events come from, the line that stood where this one stands."""
    by_itself = False
    for movement, event in events:
        source = event.line.source
        if source.name != file:
            continue
        if source.text not in lines:
            lines[source.text] = line_before(source.text, text, line)
        begins, ends = event.line.start, max(event.line.start, event.line.end - 1)
        if source.line_of(begins) <= lines[source.text] <= source.line_of(ends):
            by_itself = True
            yield movement.name, bar_at(movement.bars, event.onset).number
    names = frozenset[str]() if by_itself else _resting_on(text, line)
    for movement, event in events if names else ():
        if names.intersection(_WORD.findall(event.line.text)):
            yield movement.name, bar_at(movement.bars, event.onset).number


def _beginning(file: str, text: str, line: int, score: Score) -> MovementBar | None:
    """The first bar of the section or the movement of which a line is a row."""
    lines = text.splitlines()[:line]
    at = _statement_at(lines, line)
    named = _MOVEMENT.match(lines[at]) if lines else None
    movement = next((each for each in score.movements if named and each.name == named[1]), None)
    if movement is None or movement.span.source.name != file or not movement.bars:
        return None
    headings = [section[1] for row in lines[at:] if (section := _SECTION.match(row))]
    first = next((each.first_bar for each in movement.sections if headings and each.name == headings[-1]), 0)
    return movement.name, movement.bars[first].number


def _statement_at(lines: Sequence[str], line: int) -> int:
    """The index of the line, not indented, with which the statement begins in which a line stands."""
    return next((n for n in range(min(line, len(lines)) - 1, -1, -1) if lines[n][:1].strip()), 0)


def line_before(before: str, now: str, line: int) -> int:
    """The line of an earlier text that stood where a line of the text stands now, both counted from 1."""
    if before == now:
        return line
    old, new = before.splitlines(), now.splitlines()
    for kind, i1, i2, j1, j2 in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if j1 < line <= j2:
            return i1 + line - j1 if kind == "equal" else max(1, min(i1 + line - j1, i2))
    return min(line, len(old))


def marks_at(state: State, file: str, text: str, offset: int) -> Iterator[NotePosition]:
    """The notes that come of the place in a script: those of the item of a score line, or of a value that is defined
    there, wherever it sounds. `text` is what the file holds now, which need not be what the state has of it."""
    line = Source(file, text).line_of(offset)
    names = _resting_on(text, line)
    lines: dict[int, int | None] = {}
    """For each statement that notes come from, the line that stood where this one stands; None if nothing changed."""
    for mark in state.marks:
        item = mark.event.line
        source = item.source
        here = False
        if source.name == file:
            if id(source) not in lines:
                lines[id(source)] = None if source.text == text else line_before(source.text, text, line)
            before = lines[id(source)]
            if before is None:
                here = item.start <= offset <= item.end
            else:
                here = source.line_of(item.start) <= before <= source.line_of(item.end)
        if here or not names.isdisjoint(_WORD.findall(item.text)):
            yield mark


def _resting_on(text: str, line: int) -> frozenset[str]:
    """The name that is defined at a line, and those that are defined by it; nothing if none is."""
    lines = text.splitlines()
    own = _DEFINES.match(lines[_statement_at(lines, line)]) if lines else None
    if own is None:
        return frozenset()
    names = {own[1]}
    for defined, words in _definitions(lines):
        if names.intersection(words):
            names.add(defined)
    return frozenset(names)


def _definitions(lines: Sequence[str]) -> Iterator[tuple[str, set[str]]]:
    """Each name that a script defines, and the words of its definition."""
    defined, words = "", set[str]()
    for text in lines:
        if text[:1].strip():
            if defined:
                yield defined, words
            found = _DEFINES.match(text)
            defined, words = found[1] if found else "", set()
        words.update(_WORD.findall(text))
    if defined:
        yield defined, words
