"""The index of names: where each name, each of its letters, and each theme sounds.

In: a compiled piece. Out: entries in the order of hearing, with their places; what each movement has of each name; the
letters that are never heard.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.evaluate.plan import Plan
from cavata.music.event import Letter
from cavata.names import program as p
from cavata.record import record
from cavata.score.forms import Form
from cavata.score.score import Score
from cavata.score.statements import NameStatement, StatedName, stated_names
from cavata.tell.places import NamedPlace, PlaceFinder
from cavata.tell.themes import ThemeEntry, printed_parts, theme_entries


@record
class NameEntry:
    """One statement of a name, at its place."""

    statement: NameStatement
    place: NamedPlace
    whole: bool
    """Every letter that makes a note is there."""
    forms: tuple[Form, ...]
    parts: tuple[str, ...]
    """As printed, and then in short."""
    short_parts: tuple[str, ...]


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
    """In the order of the script; then others whose letters sound, as of a rhythm in Morse."""
    themes: tuple[ThemeEntry, ...]
    length: Fraction
    """Seconds that the piece takes."""

    @property
    def heard(self) -> tuple[IndexedName, ...]:
        """The names that are heard; by their places here they are numbered on the map, and have its colors."""
        return tuple(name for name in self.names if name.entries)


def index_of(program: p.Program, plan: Plan, score: Score) -> NameIndex:
    """Make the index of a piece."""
    places = PlaceFinder(score)
    names = tuple(_indexed(name, places) for name in stated_names(program, plan, score))
    return NameIndex(score.header.title, names, theme_entries(program, score, places), places.length)


def _indexed(name: StatedName, places: PlaceFinder) -> IndexedName:
    entries = tuple(
        NameEntry(
            said, places.at(said.movement, said.onset, said.times), name.is_whole(said), name.forms(said),
            *printed_parts([places.score.parts[part] for part in said.parts]),
        )
        for said in name.statements
    )  # fmt: skip
    coverage = tuple(_coverage(movement.name, entries) for movement in places.score.movements)
    return IndexedName(name.name, name.letters, entries, coverage)


def _coverage(movement: str, entries: Sequence[NameEntry]) -> Coverage:
    here = [entry for entry in entries if entry.place.movement.name == movement]
    return Coverage(
        movement, len(here), sum(entry.whole for entry in here),
        frozenset(position for entry in here for position in entry.statement.positions),
        sum(entry.statement.notes for entry in here if not entry.statement.again),
    )  # fmt: skip
