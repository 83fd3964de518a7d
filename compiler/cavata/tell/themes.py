"""The themes of a piece: the motifs that the items of its score lines name, and where each is heard.

In: the bound program and the score. Out: facts by movement, section and the item's place in the script; entries in the
order of hearing. In a passage a parameter means what it was placed with; an item placed several times in one section
has the themes of all of them. A theme sounds where a score line names it, or another theme that is made from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.names import program as p
from cavata.record import record
from cavata.score.score import Part, Score
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.tell.places import NamedPlace, PlaceFinder

ItemKey = tuple[int, int, Span]
"""The number of the movement, of its section, and the item."""
Themes = tuple[p.Identity, ...]


@record
class ThemeEntry:
    """One item of a score line in which a theme sounds."""

    theme: str
    by: str
    """The theme that the line names; the same, or one that is made from it."""
    place: NamedPlace
    end: NamedPlace
    parts: tuple[str, ...]
    short_parts: tuple[str, ...]
    line: Span


def theme_entries(program: p.Program, score: Score, places: PlaceFinder) -> tuple[ThemeEntry, ...]:
    """Where each theme sounds, in the order of hearing."""
    themes = themes_of_items(program)
    made_of = made_from(program)
    entries: list[ThemeEntry] = []
    for heard in _items_heard(score):
        key: ItemKey = (heard.movement, places.bar(heard.movement, heard.onset).section, heard.line)
        begin, end = places.at(heard.movement, heard.onset), places.at(heard.movement, heard.end)
        parts, short = printed_parts([score.parts[part] for part in sorted(heard.parts)])
        told: set[p.Identity] = set()
        for named in themes.get(key, ()):
            for theme in (named, *made_of.get(named, ())):
                if theme not in told:
                    told.add(theme)
                    entries.append(ThemeEntry(theme.name, named.name, begin, end, parts, short, heard.line))
    return tuple(entries)


def printed_parts(parts: Sequence[Part]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """How parts are called on the page, in full and in short."""
    in_full = tuple(part.label or part.name for part in parts)
    return in_full, tuple(part.abbreviation or name for part, name in zip(parts, in_full, strict=True))


# ------------------------------------------------------------------ the items as they sound


@record
class _Heard:
    """An item of a score line as it sounds: once for each place where it stands."""

    movement: int
    onset: Fraction
    end: Fraction
    parts: frozenset[int]
    line: Span


def _items_heard(score: Score) -> list[_Heard]:
    """Every item as often as it stands somewhere, in the order of hearing; several parts of one are one."""
    found: list[_Heard] = []
    for number, movement in enumerate(score.movements):
        by_line: dict[Span, list[tuple[Fraction, Fraction, int]]] = {}
        for part, staves in enumerate(movement.staves):
            for staff in staves:
                for voice in staff.voices:
                    for line, events in groupby(voice, key=lambda event: event.line):
                        run = list(events)
                        by_line.setdefault(line, []).append((run[0].onset, run[-1].end, part))
        for line, runs in by_line.items():
            found += _joined(number, line, sorted(runs))
    return sorted(found, key=lambda heard: (heard.movement, heard.onset, min(heard.parts)))


def _joined(movement: int, line: Span, runs: list[tuple[Fraction, Fraction, int]]) -> list[_Heard]:
    joined: list[_Heard] = []
    for onset, end, part in runs:
        last = joined[-1] if joined else None
        if last is not None and onset < last.end:
            joined[-1] = _Heard(movement, last.onset, max(last.end, end), last.parts | {part}, line)
        else:
            joined.append(_Heard(movement, onset, end, frozenset([part]), line))
    return joined


# ------------------------------------------------------------------ what items and motifs name


def themes_of_items(program: p.Program) -> Mapping[ItemKey, Themes]:
    """The motifs that each item names itself, in their order."""
    motifs = frozenset(
        d.identity for d in program.definitions if isinstance(d, p.ValueDefinition) and d.sort is p.DefinitionSort.MOTIF
    )
    found: dict[ItemKey, Themes] = {}
    for number, movement in enumerate(program.movements):
        for place, section in enumerate(movement.sections):
            for item, parameters in _items(section.rows, ()):
                themes = tuple(i for i in references(item.value, parameters) if i in motifs)
                key = (number, place, item.span)
                found[key] = tuple(dict.fromkeys((*found.get(key, ()), *themes)))
    return found


def _items(
    rows: Iterable[p.BoundRow], parameters: tuple[Themes, ...]
) -> Iterator[tuple[p.BoundItem, tuple[Themes, ...]]]:
    """The items of rows, and of the passages in them, each with what parameters mean there."""
    for row in rows:
        match row:
            case t.Line(ossia=False):  # what an ossia states is not heard
                yield from ((item, parameters) for item in row.items if isinstance(item, t.Item))
            case p.Placed():
                given = tuple(
                    () if isinstance(argument, p.Given) else references(argument, parameters)
                    for argument in row.arguments
                )
                yield from _items(row.rows, given)
            case t.Excerpt(section=section):
                yield from _items(section.rows, parameters)
            case _:
                pass


def made_from(program: p.Program) -> Mapping[p.Identity, tuple[p.Identity, ...]]:
    """For each theme the themes that it is made from, and those that they are made from."""
    found: dict[p.Identity, tuple[p.Identity, ...]] = {}
    for definition in program.definitions:
        if isinstance(definition, p.ValueDefinition) and definition.sort is p.DefinitionSort.MOTIF:
            direct = [identity for identity in references(definition.value) if identity in found]
            all_of = [other for identity in direct for other in (identity, *found[identity])]
            found[definition.identity] = tuple(dict.fromkeys(all_of))
    return found


def references(value: p.Bound, parameters: tuple[Themes, ...] = ()) -> Themes:
    """Every definition that an expression names, each once, from left to right; `parameters` mean these."""
    return tuple(dict.fromkeys(_references(value, parameters)))


def _references(value: p.Bound, parameters: tuple[Themes, ...]) -> Iterator[p.Identity]:
    match value:
        case p.Reference(to=identity):
            yield identity
        case p.Parameter(index=index):
            yield from parameters[index] if index < len(parameters) else ()
        case p.Combine():
            for operand in value.operands:
                yield from _references(operand, parameters)
            for clause in value.clauses:
                yield from _of_arguments(clause.arguments, parameters)
        case p.CallOwn():
            yield from _of_arguments(value.arguments, parameters)
        case p.BoundChain():
            yield from _references(value.first, parameters)
            for link in value.links:
                if isinstance(link, p.Apply | p.ApplyOwn):
                    yield from _of_arguments(link.arguments, parameters)
                else:
                    yield from _references(link, parameters)
        case _:
            pass


def _of_arguments(
    arguments: tuple[p.BoundArgument | p.Bound, ...], parameters: tuple[Themes, ...]
) -> Iterator[p.Identity]:
    for argument in arguments:
        if isinstance(argument, p.Taken):
            yield from _references(argument.value, parameters)
        elif not isinstance(argument, p.Given):
            yield from _references(argument, parameters)
