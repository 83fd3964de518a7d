"""The index of names: where each name, each of its letters, and each theme sounds.

In: a compiled piece. Out: entries in the order of hearing, with their places; what each movement has of each name; the
letters that are never heard. A theme sounds where a score line names it, or another theme that is made from it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.evaluate.plan import Plan
from cavata.music.event import Letter, Motif
from cavata.names import program as p
from cavata.record import record
from cavata.score.items import ItemKey, references, themes_of_items, turns
from cavata.score.score import Part, Score
from cavata.source import Span
from cavata.tell.forms import Form, forms_of
from cavata.tell.places import NamedPlace, PlaceFinder
from cavata.tell.statements import Statement, statements


@record
class NameEntry:
    """One statement of a name, at its place."""

    statement: Statement
    place: NamedPlace
    whole: bool
    """Every letter that makes a note is there."""
    forms: tuple[Form, ...]
    parts: tuple[str, ...]
    """As printed, and then in short."""
    short_parts: tuple[str, ...]


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


@record
class Coverage:
    """What a movement has of a name."""

    movement: str
    statements: int
    whole: int
    heard: frozenset[int]
    """Positions of the letters that sound."""
    notes: int


@record
class IndexedName:
    """A name of the piece, and where it sounds."""

    name: str
    letters: tuple[Letter, ...]
    """Those that make a note, in the order of the name."""
    entries: tuple[NameEntry, ...]
    coverage: tuple[Coverage, ...]
    """One for each movement."""

    @property
    def never_heard(self) -> tuple[Letter, ...]:
        """The letters that make a note and never sound."""
        heard = {position for movement in self.coverage for position in movement.heard}
        return tuple(letter for letter in self.letters if letter.position not in heard)


@record
class NameIndex:
    """The whole index."""

    title: str
    names: tuple[IndexedName, ...]
    """In the order in which the script defines them; then others whose letters sound, as of a rhythm in Morse."""
    themes: tuple[ThemeEntry, ...]
    length: Fraction
    """Seconds that the piece takes."""


def index_of(program: p.Program, plan: Plan, score: Score) -> NameIndex:
    """Make the index of a piece."""
    places = PlaceFinder(score)
    found = statements(score, turns(plan))
    letters = letters_of_names(program, plan)
    by_name: dict[str, list[Statement]] = {name: [] for name in letters}
    for statement in found:
        by_name.setdefault(statement.name, []).append(statement)
    names = tuple(_name(name, letters.get(name), said, places) for name, said in by_name.items())
    return NameIndex(score.header.title, names, tuple(_themes(program, score, places)), places.length)


def letters_of_names(program: p.Program, plan: Plan) -> Mapping[str, tuple[Letter, ...]]:
    """The letters that make a note, of each name that the piece defines or brings in."""
    found: dict[str, tuple[Letter, ...]] = {}
    for definition in program.definitions:
        value = plan.values.get(definition.identity)
        if isinstance(definition, p.NameDefinition) and isinstance(value, Motif):
            letters = [o.letter for e in value.events for h in e.heads for o in h.origins if o.letter]
            found.setdefault(definition.identity.name, tuple(letters))
    return found


def _name(name: str, letters: tuple[Letter, ...] | None, said: Sequence[Statement], places: PlaceFinder) -> IndexedName:
    if letters is None:
        heard = {letter.position: letter for statement in said for letter in statement.letters}
        letters = tuple(heard[position] for position in sorted(heard))
    wanted = frozenset(letter.position for letter in letters)
    labels = {part.name: part for part in places.score.parts}
    entries = tuple(
        NameEntry(
            statement, places.at(statement.movement, statement.onset), statement.positions >= wanted,
            forms_of(statement.steps), *_printed([labels[part] for part in statement.parts]),
        )
        for statement in said
    )  # fmt: skip
    coverage = tuple(_coverage(m.name, entries) for m in places.score.movements)
    return IndexedName(name, letters, entries, coverage)


def _printed(parts: Sequence[Part]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """How parts are called on the page, in full and in short."""
    return tuple(p.label or p.name for p in parts), tuple(p.abbreviation or p.label or p.name for p in parts)


def _coverage(movement: str, entries: Sequence[NameEntry]) -> Coverage:
    here = [entry for entry in entries if entry.place.movement.name == movement]
    return Coverage(
        movement, len(here), sum(entry.whole for entry in here),
        frozenset(position for entry in here for position in entry.statement.positions),
        sum(entry.statement.notes for entry in here),
    )  # fmt: skip


# ------------------------------------------------------------------ themes


@record
class _Heard:
    """An item of a score line as it sounds: once for each place where it stands."""

    movement: int
    onset: Fraction
    end: Fraction
    parts: frozenset[int]
    line: Span


def _themes(program: p.Program, score: Score, places: PlaceFinder) -> list[ThemeEntry]:
    themes = themes_of_items(program)
    made_of = made_from(program)
    entries: list[ThemeEntry] = []
    for heard in _items_heard(score):
        key: ItemKey = (heard.movement, places.bar(heard.movement, heard.onset).section, heard.line)
        begin, end = places.at(heard.movement, heard.onset), places.at(heard.movement, heard.end)
        parts, short = _printed([score.parts[part] for part in sorted(heard.parts)])
        told: set[p.Identity] = set()
        for named in themes.get(key, ()):
            for theme in (named, *made_of.get(named, ())):
                if theme not in told:
                    told.add(theme)
                    entries.append(ThemeEntry(theme.name, named.name, begin, end, parts, short, heard.line))
    return entries


def made_from(program: p.Program) -> Mapping[p.Identity, tuple[p.Identity, ...]]:
    """For each theme the themes that it is made from, and those that they are made from."""
    found: dict[p.Identity, tuple[p.Identity, ...]] = {}
    for definition in program.definitions:
        if isinstance(definition, p.ValueDefinition) and definition.sort is p.Sort.MOTIF:
            direct = [identity for identity in references(definition.value) if identity in found]
            all_of = [other for identity in direct for other in (identity, *found[identity])]
            found[definition.identity] = tuple(dict.fromkeys(all_of))
    return found


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
