"""Statements: each place where a name sounds, as notes that follow one another out of one item of a score line.

In: a score and the turns of its items. Out: statements in the order of hearing. A statement ends where a letter of it
comes again, where a turn of a repeated item ends, and where something else begins. What several parts play at once, or
a chord that is dealt out to them, is one statement; an answer that enters later is another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from cavata.music.event import Head, Letter, Origin
from cavata.record import record
from cavata.score.items import ItemKey, Turn
from cavata.score.score import Score, ScoreEvent, bar_at
from cavata.source import Span

_ADDED = frozenset(["neighbour note", "passing note"])
"""What figuration adds to the steps of a note that stands beside a letter's own."""


@record
class Statement:
    """A name, or a part of one, heard once."""

    name: str
    """As the script calls it."""
    letters: tuple[Letter, ...]
    """Those heard, each once, as they come; those of a chord in the order of the name."""
    movement: int
    onset: Fraction
    end: Fraction
    parts: tuple[str, ...]
    """In score order, as the script calls them."""
    steps: tuple[str, ...]
    inflections: tuple[tuple[str, str], ...]
    """Letters that the composer inflected, each with how."""
    notes: int
    """Written notes: a chord has several, a note that two parts play counts twice."""
    line: Span
    """The item of the score line."""
    with_names: tuple[str, ...] = ()
    """Other names in the same line of the same part meanwhile, as where lines are woven."""

    @property
    def positions(self) -> frozenset[int]:
        """Which letters of the name are heard, counted from 1."""
        return frozenset(letter.position for letter in self.letters)


class _Run:
    """A statement in one voice while it grows."""

    def __init__(self, name: str, part: int, event: ScoreEvent, turn: int, origin: Origin) -> None:
        self.name, self.part, self.line, self.turn = name, part, event.line, turn
        self.onset, self.end = event.onset, event.end
        self.steps = tuple(step for step in origin.steps if step not in _ADDED)
        self.letters: dict[int, Letter] = {}
        self.last: frozenset[int] = frozenset()
        self.inflections: dict[str, str] = {}
        self.notes = self.moments = 0

    def goes_on(self, event: ScoreEvent, turn: int, positions: frozenset[int]) -> bool:
        """Whether an event of the same item belongs to it."""
        if event.tied_before or (self.last == positions and self._is_figured):
            return True
        return turn == self.turn and positions.isdisjoint(self.letters)

    @property
    def _is_figured(self) -> bool:
        return any(step.startswith(("neighbours ", "passing ")) for step in self.steps)

    def take(self, event: ScoreEvent, origins: list[Origin]) -> None:
        for origin in origins:
            letter = origin.letter
            assert letter is not None
            self.letters.setdefault(letter.position, letter)
            if origin.inflection:
                self.inflections[letter.text] = origin.inflection
        self.last = frozenset(o.letter.position for o in origins if o.letter)
        self.notes += 0 if event.tied_before else len(origins)
        self.end = max(self.end, event.end)
        self.moments += 1


def statements(score: Score, turns: Mapping[ItemKey, Turn]) -> tuple[Statement, ...]:
    """Every statement of every name, in the order of hearing; at one moment in score order."""
    found: list[Statement] = []
    for number, movement in enumerate(score.movements):
        of_item: dict[Span, list[_Run]] = {}
        for part, staves in enumerate(movement.staves):
            for staff in staves:
                for voice in staff.voices:
                    for run in _runs(score, number, part, voice, turns):
                        of_item.setdefault(run.line, []).append(run)
        for runs in of_item.values():
            found += [_statement(score, number, group, runs) for group in _merged(runs)]
    order = {part.name: place for place, part in enumerate(score.parts)}
    return tuple(sorted(found, key=lambda s: (s.movement, s.onset, order[s.parts[0]], s.name)))


def _runs(
    score: Score, movement: int, part: int, voice: tuple[ScoreEvent, ...], turns: Mapping[ItemKey, Turn]
) -> Iterator[_Run]:
    for turn, group in _placements(score, movement, voice, turns):
        begins = group[0].onset - (turn.lead if turn else 0)
        open_runs: dict[str, _Run] = {}
        for event in group:
            number = int((event.onset - begins) / turn.duration) if turn else 0
            for heads in (*event.event.marks.graces, event.event.heads):
                for name, origins in _by_name(heads).items():
                    run = open_runs.get(name)
                    positions = frozenset(o.letter.position for o in origins if o.letter)
                    if run is None or not run.goes_on(event, number, positions):
                        if run is not None:
                            yield run
                        run = open_runs[name] = _Run(name, part, event, number, origins[0])
                    run.take(event, origins)
        yield from open_runs.values()


def _placements(
    score: Score, movement: int, voice: tuple[ScoreEvent, ...], turns: Mapping[ItemKey, Turn]
) -> Iterator[tuple[Turn | None, list[ScoreEvent]]]:
    """The events of each placing of an item, with its turn.

    The same row sounds anew in a section that is made from another, and where a passage is placed again: there its
    turns are counted afresh.
    """
    bars = score.movements[movement].bars
    placed: list[ScoreEvent] = []
    turn: Turn | None = None
    began: ItemKey | None = None
    for event in voice:
        key = (movement, bar_at(bars, event.onset).section, event.line)
        if placed and not _goes_on(placed, event, turn, key in turns and key != began):
            yield turn, placed
            placed = []
        if not placed:
            began, turn = key, turns.get(key)
        placed.append(event)
    if placed:
        yield turn, placed


def _goes_on(placed: list[ScoreEvent], event: ScoreEvent, turn: Turn | None, anew: bool) -> bool:
    """Whether an event belongs to a placing; no two notes of one stand farther apart than a turn is long."""
    if event.tied_before:
        return True
    last = placed[-1]
    late = turn is not None and event.onset - last.onset > turn.duration
    return event.line == last.line and not anew and not late


def _by_name(heads: Iterable[Head]) -> dict[str, list[Origin]]:
    found: dict[str, list[Origin]] = {}
    for head in heads:
        for origin in head.origins:
            if origin.letter is not None:
                found.setdefault(origin.letter.name, []).append(origin)
    return found


# ------------------------------------------------------------------ one statement in several parts


def _merged(runs: list[_Run]) -> Iterator[list[_Run]]:
    """Runs of one item that are one statement, the first in score order first."""
    under_way: dict[tuple[str, tuple[str, ...]], list[list[_Run]]] = {}
    for run in sorted(runs, key=lambda run: (run.onset, run.part)):
        kind = (run.name, run.steps)
        ended = [g for g in under_way.get(kind, ()) if g[0].onset < run.onset and _end(g) <= run.onset]
        groups = under_way[kind] = [g for g in under_way.get(kind, ()) if g not in ended]
        yield from ended
        group = next((group for group in reversed(groups) if _is_one(group, run)), None)
        if group is None:
            groups.append([run])
        else:
            group.append(run)
    for groups in under_way.values():
        yield from groups


def _end(group: list[_Run]) -> Fraction:
    return max(run.end for run in group)


def _is_one(group: list[_Run], run: _Run) -> bool:
    """Whether a run of another voice belongs to a statement: heard with it, or filling what it leaves out."""
    first = group[0]
    if run.onset == first.onset and run.end == first.end:
        return True
    together = run.onset < _end(group)
    return together and all(set(run.letters).isdisjoint(other.letters) for other in group)


def _statement(score: Score, movement: int, group: list[_Run], runs: list[_Run]) -> Statement:
    first, end = group[0], _end(group)
    letters: dict[int, Letter] = {}
    inflections: dict[str, str] = {}
    for run in group:
        letters.update({p: letter for p, letter in run.letters.items() if p not in letters})
        inflections.update(run.inflections)
    if all(run.moments == 1 for run in group):
        letters = dict(sorted(letters.items()))
    beside = {
        run.name for run in runs
        if run.name != first.name and run.part == first.part and run.onset < end and run.end > first.onset
    }  # fmt: skip
    return Statement(
        first.name, tuple(letters.values()), movement, first.onset, end,
        tuple(score.parts[part].name for part in sorted({run.part for run in group})), first.steps,
        tuple(inflections.items()), sum(run.notes for run in group), first.line, tuple(sorted(beside)),
    )  # fmt: skip
