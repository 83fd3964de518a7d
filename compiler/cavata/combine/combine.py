"""Where two lines go together: every delay, transposition and form within limits, the best first.

In: a leader, a follower, limits and rules. Out: placements in order: fewest faults; then those in which the lines share
most of their time and answer each other most; then fewest licenses; then most imperfect consonances; then the smallest
transposition; then the order of the search. Same input, same order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from cavata.combine.order import COLUMNS, Order, Row
from cavata.combine.placement import Bounds, Combined, Fault, FaultNote, Placement, delays, least_together
from cavata.combine.rules import INVERTED, LOOSE, Grid, Judgment, judge, voice
from cavata.combine.strict.dissonance import LEAPT
from cavata.combine.strict.placed import UNEXCUSED, Strictly
from cavata.combine.strict.scene import common_measure, is_cantus, notes_of
from cavata.diagnostics import Refusal
from cavata.music.event import Motif
from cavata.music.pitch import HIGHEST_OCTAVE, LOWEST_OCTAVE, Pitch
from cavata.transforms.combinations import Answer
from cavata.transforms.pitches import respellings

MOST_PLACEMENTS = 500_000


def combine(
    leader: Motif,
    follower: Motif,
    bounds: Bounds,
    most: int,
    told: Callable[[int], None] | None = None,
    least: Fraction | None = None,
    varied: bool = False,
) -> Combined:
    """Judge every placement of the follower; `told` is called with how many have been judged.

    `least` is for how long both must sound, else half of the shorter one. Where they are to be `varied`, any two
    differ in two of form, delay and interval, octaves left out.
    """
    search = _Search(leader, follower, bounds)
    rows = []
    for number in range(len(bounds.forms)):
        rows += search.sieved(number, least)
        if told is not None:
            told(search.seen)
    table = np.concatenate(rows, axis=1) if rows else np.zeros((COLUMNS, 0), np.int64)
    order = Order(table, search.exact if bounds.rules not in LOOSE else None)
    best: list[Placement] = []
    kinds: list[tuple[int, int, int]] = []
    for row in order.best_first():
        if len(best) == most:
            break
        number, column, place = row
        kind = (number, search.ways[number][column].steps % 7, place)
        if varied and any(sum(a == b for a, b in zip(kind, other, strict=True)) > 1 for other in kinds):
            continue
        kinds.append(kind)
        best.append(search.placement(row))
    return Combined(search.seen, order.clean(), tuple(best))


class _Search:
    """One search: its lines in every form, moved by every interval, and what the arrays found of them."""

    def __init__(self, leader: Motif, follower: Motif, bounds: Bounds) -> None:
        self.leader, self.follower, self.bounds = leader, follower, bounds
        self.mover = bounds.mover()
        self.lines = [_formed(follower, form, bounds) for form in bounds.forms]
        self.ways = [self.mover.intervals(line or follower) for line in self.lines]
        self.waits = delays(bounds, leader)
        self.tick = _tick_of(leader, self.lines, bounds)
        self.lead = voice(leader, [_pitches(leader)], self.tick)
        self.strictly = Strictly(leader, bounds.options(), self.tick)
        self.times = [self.strictly.times(line) if line else () for line in self.lines]
        self.seen = 0
        self.found: dict[int, Judgment] = {}
        self.moved: list[list[list[Pitch]]] = []

    def sieved(self, number: int, least: Fraction | None) -> list[NDArray[np.int64]]:
        """The rows of one form's placements, with the faults that arrays can see."""
        line, ways, bounds = self.lines[number], self.ways[number], self.bounds
        moved = [[self.mover.moved(pitch, way) for pitch in _pitches(line)] if line else [] for way in ways]
        writable = [i for i, pitches in enumerate(moved) if line is not None and all(map(_can_be_written, pitches))]
        # From here on columns count the transpositions that can be written.
        self.moved.append([moved[i] for i in writable])
        self.seen += len(ways) * len(self.waits)
        self.ways[number] = tuple(ways[i] for i in writable)
        if line is None or not writable or not self.waits:
            return []
        ticks = np.array([int(wait / self.tick) for wait in self.waits], np.int64)
        strong, sure = _strong_beats(self.leader, line, bounds, ticks, self.tick)
        follows = voice(line, self.moved[number], self.tick)
        found = judge(self.lead, follows, ticks, strong, bounds.rules, sure and not bounds.species)
        self.found[number] = found
        broken = np.sum([mask.sum(axis=2) for mask in self.kept(found).values()], axis=0)
        if bounds.rules not in LOOSE:
            broken = broken + self.strictly.of_leader() + self._own(number)[:, None]
        enough = least_together(self.leader, self.follower) if least is None else least
        shared = np.maximum(self.lead.sounds.shape[1], ticks + int(line.duration / self.tick))
        merit = found.together * 10_000 // shared + found.answering
        far = np.array([abs(way.semitones) for way in self.ways[number]])
        # Half a line need not be whole ticks; it is rounded up.
        return [_rows(found, number, broken, merit, far, -int(-enough // self.tick))]

    def kept(self, found: Judgment) -> dict[str, NDArray[np.bool_]]:
        """The masks of what is not allowed; of the strict rules one stands for several."""
        allowed = self.bounds.allowed
        return {
            name: mask for name, mask in found.faults.items()
            if name not in allowed and not (name == LEAPT and allowed & UNEXCUSED)
        }  # fmt: skip

    def exact(self, row: Row) -> tuple[int, int]:
        """How many faults and licenses a placement has, as the judge counts them."""
        number, column, place = row
        faults, licenses = self.strictly.count(self.times[number], self.moved[number][column], self.waits[place])
        return faults + len(self.masked(row, INVERTED)), licenses

    def _own(self, number: int) -> NDArray[np.int64]:
        """By transpositions the faults of the follower alone; moved exactly it has the same everywhere."""
        moved, times = self.moved[number], self.times[number]
        if self.bounds.mode is None:
            return np.full(len(moved), self.strictly.alone(times, moved[0]))
        return np.array([self.strictly.alone(times, pitches) for pitches in moved])

    def judged(self, row: Row) -> tuple[list[Fault], list[Fault]]:
        """Faults and licenses by the strict rules; of inverted intervals what the arrays found."""
        number, column, place = row
        faults: list[Fault] = []
        licenses: list[Fault] = []
        for fault in self.strictly.faults(self.times[number], self.moved[number][column], self.waits[place]):
            heard = tuple(FaultNote(n.voice, at, n.pitch) for n, at in zip(fault.notes, fault.onsets, strict=True))
            into = faults if fault.is_hard else licenses
            into.append(Fault(fault.rule.name, fault.at, heard, fault.rule.source))
        return faults + self.masked(row, INVERTED), licenses

    def masked(self, row: Row, prefix: str = "") -> list[Fault]:
        """The faults that the arrays found, of names that begin so."""
        number, column, place = row
        return [
            Fault(name, self.tick * int(at))
            for name, mask in self.found[number].faults.items() if name.startswith(prefix)
            for at in np.flatnonzero(mask[column, place])
        ]  # fmt: skip

    def placement(self, row: Row) -> Placement:
        """A placement with all that is told of it."""
        number, column, place = row
        form, found = self.bounds.forms[number], self.found[number]
        answer = Answer(
            self.ways[number][column], self.bounds.mode, form.retrograde, form.inverted, form.slower
        )
        loose = self.bounds.rules in LOOSE
        faults, licenses = (self.masked(row), []) if loose else self.judged(row)
        return Placement(
            answer, self.waits[place], answer.to(self.follower), _in_order(faults),
            self.tick * int(found.together[place]), int(found.imperfect[column, place]), int(found.answering[place]),
            _in_order(licenses),
        )  # fmt: skip


def ticks_needed(leader: Motif, follower: Motif, bounds: Bounds) -> int:
    """How many ticks the leader has."""
    return int(leader.duration / _tick_of(leader, [_formed(follower, form, bounds) for form in bounds.forms], bounds))


def _formed(follower: Motif, form: Answer, bounds: Bounds) -> Motif | None:
    """The follower in its form; None where a note would have to be spelled otherwise, or leave the range."""
    try:
        with respellings() as noted:
            line = replace(form, mode=bounds.mode).to(follower)
    except Refusal:
        return None
    # Intervals are judged as they are spelled.
    return None if noted else line


def _tick_of(leader: Motif, formed: Sequence[Motif | None], bounds: Bounds) -> Fraction:
    """The longest duration of which all of the search is a multiple."""
    lines = (leader, *(line for line in formed if line is not None))
    durations = [event.duration for line in lines for event in line.events]
    return common_measure([*durations, bounds.delay_grid, bounds.strong, bounds.bar])


def _strong_beats(
    leader: Motif, line: Motif, bounds: Bounds, ticks: NDArray[np.int64], tick: Fraction
) -> tuple[NDArray[np.bool_], bool]:
    """A mask over delays and ticks of the leader, and whether neither line has one note a bar.

    Against such a line only first beats are strong, if the judge calls it a cantus firmus.
    """
    when = np.arange(int(leader.duration / tick))[None, :]
    found: NDArray[np.bool_] = np.repeat(when % int(bounds.strong / tick) == 0, len(ticks), axis=0)
    for other, delayed in ((leader, np.zeros_like(ticks)), (line, ticks)):
        notes = notes_of(other)
        if is_cantus(notes, bounds.bar):
            found = found & ((when - delayed[:, None] - int(notes[0][0] / tick)) % int(bounds.bar / tick) == 0)
            return found, False
    return found, True


def _rows(
    found: Judgment, number: int, broken: Grid, merit: Grid, far: Grid, least: int
) -> NDArray[np.int64]:
    """For each placement that is long enough together what it is ranked by, and its three numbers."""
    shape = found.imperfect.shape
    column, place = np.indices(shape)
    kept: Grid = (found.together >= max(least, 1))[place].ravel()
    ranked = [broken, -np.broadcast_to(merit[None, :], shape), np.zeros(shape, np.int64), -found.imperfect]
    every = [*ranked, np.broadcast_to(far[:, None], shape), np.full(shape, number), column, place]
    return np.stack([np.asarray(row).ravel()[kept] for row in every]).astype(np.int64)


def _in_order(faults: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: (fault.at, fault.name)))


def _pitches(line: Motif) -> list[Pitch]:
    return [event.heads[0].pitch for event in line.sounding]


def _can_be_written(pitch: Pitch) -> bool:
    return abs(pitch.alter) <= 2 and LOWEST_OCTAVE <= pitch.octave <= HIGHEST_OCTAVE
