"""The map of a piece: what is drawn where, in seconds, before anything has a width or a color.

In: a compiled piece. Out: for each part the marks of each name, and the stretches in which it plays notes of no name;
sections; how many notes begin in each stretch of time. What is repeated stands as often as it is heard.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from cavata.evaluate.plan import Plan
from cavata.names import program as p
from cavata.record import record
from cavata.score.forms import Form
from cavata.score.score import Score, ScoreEvent, events_of
from cavata.tell.index import NameEntry, NameIndex, index_of
from cavata.tell.places import NamedPlace, PlaceFinder
from cavata.tell.timings import MovementTiming, timings

MapSpan = tuple[Fraction, Fraction]
"""From and to, in seconds from the beginning of the piece."""


class MarkShape(Enum):
    """How a mark is drawn, by its form: never by color alone."""

    SOLID = "solid"
    RETROGRADE = "retrograde"
    INVERSION = "inversion"
    BOTH = "both"
    CHORD = "chord"
    BROKEN = "broken"
    WOVEN = "woven"


@record
class MapMark:
    """A statement of a name in one part, each time it is heard."""

    name: str
    part: int
    """Its number in score order."""
    begins: Fraction
    ends: Fraction
    """Seconds."""
    shape: MarkShape
    whole: bool
    """Else it is drawn half as high."""
    entry: NameEntry
    place: NamedPlace


@record
class PieceMap:
    """What is to be drawn."""

    index: NameIndex
    names: tuple[tuple[str, str], ...]
    """Those that are heard, in the order of the script: the identifier, and the letters it stands for."""
    parts: tuple[str, ...]
    marks: tuple[MapMark, ...]
    nameless: tuple[tuple[MapSpan, ...], ...]
    """For each part where it plays notes that no name gave."""
    movements: tuple[MovementTiming, ...]
    onsets: tuple[tuple[Fraction, bool], ...]
    """Each note that is struck: when, in seconds, and whether it comes from a name; in order."""
    composer: str


def map_of(program: p.Program, plan: Plan, score: Score, index: NameIndex | None = None) -> PieceMap:
    """Lay out the map of a piece; `index` is its own, where that was made already."""
    index = index or index_of(program, plan, score)
    places = PlaceFinder(score)
    written = {
        d.identity.name: d.tree.letters.text for d in program.definitions if isinstance(d, p.NameDefinition)
    }  # fmt: skip
    names = tuple((found.name, written.get(found.name, found.name)) for found in index.heard)
    marks = tuple(mark for found in index.names for entry in found.entries for mark in _marks(entry, places))
    return PieceMap(
        index, names, tuple(part.label or part.name for part in score.parts), marks,
        tuple(tuple(_nameless(score, places, number)) for number in range(len(score.parts))),
        timings(score).movements, tuple(sorted(_onsets(score, places))), score.header.composer,
    )  # fmt: skip


def shape_of(forms: tuple[Form, ...]) -> MarkShape:
    """The one shape that a statement has, the most telling form deciding."""
    found = set(forms)
    if Form.CHORD in found:
        return MarkShape.CHORD
    if Form.BROKEN_CHORD in found:
        return MarkShape.BROKEN
    if {Form.RETROGRADE, Form.INVERSION} <= found:
        return MarkShape.BOTH
    if Form.RETROGRADE in found:
        return MarkShape.RETROGRADE
    if Form.INVERSION in found:
        return MarkShape.INVERSION
    return MarkShape.WOVEN if {Form.WOVEN, Form.HOCKET} & found else MarkShape.SOLID


def _marks(entry: NameEntry, places: PlaceFinder) -> Iterator[MapMark]:
    said = entry.statement
    seconds = places.clocks[said.movement].between(said.onset, said.end)
    for begins in (entry.place.seconds, *entry.place.again):
        for part in said.parts:
            yield MapMark(
                said.name, part, begins, begins + seconds, shape_of(entry.forms), entry.whole, entry,
                entry.place,
            )  # fmt: skip


def _heard(score: Score, places: PlaceFinder, part: int) -> Iterator[tuple[ScoreEvent, MapSpan]]:
    """Every event of a part, each time it is heard."""
    for number, movement in enumerate(score.movements):
        clock = places.clocks[number]
        for event in events_of(movement.staves[part]):
            seconds = clock.between(event.onset, event.end)
            for begins in clock.heard(event.onset):
                now = places.starts[number] + begins
                yield event, (now, now + seconds)


def _is_named(event: ScoreEvent) -> bool:
    return any(head.letters for head in event.event.heads)


def _nameless(score: Score, places: PlaceFinder, part: int) -> Iterator[MapSpan]:
    """Where a part plays notes of no name, stretches that touch being one."""
    found = sorted(when for event, when in _heard(score, places, part) if event.event.heads and not _is_named(event))
    joined: list[MapSpan] = []
    for begins, ends in found:
        if joined and begins <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], ends))
        else:
            joined.append((begins, ends))
    yield from joined


def _onsets(score: Score, places: PlaceFinder) -> Iterator[tuple[Fraction, bool]]:
    for part in range(len(score.parts)):
        for event, (begins, _) in _heard(score, places, part):
            if not event.tied_before:
                yield from ((begins, bool(head.letters)) for head in event.event.heads)
