"""The clef each staff begins with, and where it changes.

In: a staff's written pitches in order, with the places where a change would be sensible, and the clefs its player
reads. Out: the first clef and the changes. A clef changes only where ledger lines demand it for a stretch: the
whole staff is weighed at once, each change costing as much as three notes on three ledger lines. Notes in a row that
hang there for as long as two bars count twice, however few. Source of the clefs' lines, and of leaving one for a
passage: common practice; the weights are this project's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import groupby

from cavata.instruments.instrument import Instrument
from cavata.notate.spelled_voice import SpelledBar, StaffPlan, WrittenEvent, strikes
from cavata.notate.written import Leaf, Tuplet, WrittenItem, WrittenStaff, leaves
from cavata.record import record, replace

BOTTOM_LINES = {
    "treble": 30, "soprano": 28, "mezzosoprano": 26, "alto": 24, "tenor": 22, "baritone": 20, "bass": 18,
}  # fmt: skip
"""The staff position of each clef's lowest line: E4 in the treble clef is 30."""
OCTAVE_SIGNS = {"_8": -7, "^8": 7, "_15": -14, "^15": 14}
CHANGE = 24
"""The cost of a change, where a note on three ledger lines costs 8, and one that the usual clef would suit costs 4
in any other."""


OPENING = 12
"""The cost of opening in another than the usual clef: one note alone is no reason to."""


_LONG_NOTES, _LONG = 4, Fraction(2)
"""So many notes in a row on three ledger lines or more, which last so many whole notes together, count twice."""

_Note = tuple[int, int, Fraction]
"""Its lowest and highest staff position, and how many whole notes it lasts."""


@record
class ClefStretch:
    """Notes between two places where the clef may change."""

    notes: tuple[_Note, ...]


def bottom_line(clef: str) -> int:
    """The staff position of a clef's lowest line."""
    for sign, shift in OCTAVE_SIGNS.items():
        if clef.endswith(sign):
            return BOTTOM_LINES[clef.removesuffix(sign)] + shift
    return BOTTOM_LINES[clef]


@lru_cache(maxsize=4096)
def ledger_lines(clef: str, lowest: int, highest: int) -> int:
    """How many ledger lines a chord needs, above or below, whichever is more."""
    bottom = bottom_line(clef)
    return max(0, (bottom - lowest) // 2, (highest - bottom - 8) // 2)


def clefs_for(stretches: Sequence[ClefStretch], readable: Sequence[str]) -> tuple[str, ...]:
    """The clef of each stretch; `readable` has the usual clef first."""
    usual = readable[0]
    line = [note for stretch in stretches for note in stretch.notes]
    if len(readable) == 1 or all(ledger_lines(usual, low, high) < 3 for low, high, _ in line):
        return (usual,) * len(stretches)
    twice = iter(_in_long_rows(usual, line))
    costs = [0] * len(readable)
    ways: list[list[int]] = []
    for number, stretch in enumerate(stretches):
        entry = [_cheapest(costs, state, opens=number == 0) for state in range(len(readable))]
        ways.append([came for _, came in entry])
        weighed = [(note, 2 if next(twice) else 1) for note in stretch.notes]
        costs = [cost + _weight(readable[state], usual, weighed) for state, (cost, _) in enumerate(entry)]
    state = min(range(len(readable)), key=lambda index: costs[index])
    chosen = []
    for came in reversed(ways):
        chosen.append(readable[state])
        state = came[state]
    return tuple(reversed(chosen))


def _cheapest(costs: Sequence[int], state: int, opens: bool) -> tuple[int, int]:
    """The cheapest way into a clef: staying if it costs no more than a change. To open in an unusual one costs less."""
    if opens:
        return OPENING if state else 0, state
    other = min(range(len(costs)), key=lambda index: costs[index])
    return (costs[state], state) if costs[state] <= costs[other] + CHANGE else (costs[other] + CHANGE, other)


def _weight(clef: str, usual: str, notes: Sequence[tuple[_Note, int]]) -> int:
    """What notes cost in a clef; many ledger lines so many times."""
    total = 0
    for (lowest, highest, _), times in notes:
        lines = ledger_lines(clef, lowest, highest)
        total += times * (4 * lines - 4) if lines >= 3 else lines // 2
        if clef != usual:
            total += 4 if ledger_lines(usual, lowest, highest) < 2 else 1
    return total


def _in_long_rows(usual: str, line: Sequence[_Note]) -> Iterator[bool]:
    """Of each note whether it is one of a long row on three ledger lines or more, a chord with all its notes."""
    for hangs, row in groupby(line, key=lambda note: _hangs(usual, note)):
        notes = list(row)
        long = hangs and len(notes) >= _LONG_NOTES and sum(note[2] for note in notes) >= _LONG
        yield from (long for _ in notes)


def _hangs(clef: str, note: _Note) -> bool:
    lowest, highest, _ = note
    return min(ledger_lines(clef, lowest, lowest), ledger_lines(clef, highest, highest)) >= 3


# ----------------------------------------------------------------
# Where on a staff the clef may change, and where it does.
#
# In: the staff's spelled bars and written events. Out: the first clef, and each change at the note it stands before. A
# change may come at the first note of a bar or, on a staff of one voice, at any note after a rest.


def clef_changes(
    bars: Sequence[Sequence[SpelledBar | None]], events: Sequence[Sequence[WrittenEvent | None]], plan: StaffPlan
) -> tuple[str, dict[tuple[int, int, int], str]]:
    """The first clef, and each change by span, voice and event."""
    if plan.instrument.unpitched:
        return "percussion", {}
    places: list[tuple[int, int, int]] = []
    stretches: list[ClefStretch] = []
    if len(plan.clefs) > 1 or plan.span_clefs:
        for place, notes in _stretches(bars, events):
            places.append(place)
            stretches.append(ClefStretch(notes))
    chosen = tuple(_chosen(places, stretches, plan))
    first = chosen[0] if chosen else plan.clefs[0]
    changes = {
        place: clef for place, clef, before in zip(places, chosen, (first, *chosen), strict=False) if clef != before
    }
    return first, changes


def _chosen(
    places: Sequence[tuple[int, int, int]], stretches: Sequence[ClefStretch], plan: StaffPlan
) -> Iterator[str]:
    """The clef of each stretch; each instrument that is taken up has clefs of its own."""
    if not plan.span_clefs:
        yield from clefs_for(stretches, plan.clefs)
        return
    placed = zip(places, stretches, strict=True)
    for clefs, run in groupby(placed, key=lambda pair: plan.span_clefs[pair[0][0]]):
        yield from clefs_for([stretch for _, stretch in run], clefs)


def _stretches(
    bars: Sequence[Sequence[SpelledBar | None]], events: Sequence[Sequence[WrittenEvent | None]]
) -> Iterator[tuple[tuple[int, int, int], tuple[_Note, ...]]]:
    """The place each stretch begins at, and its notes and chords."""
    place: tuple[int, int, int] | None = None
    notes: list[_Note] = []
    for number in range(len(bars[0]) if bars else 0):
        begins = True
        for _, voice, index, new in strikes([voice_bars[number] for voice_bars in bars]):
            if index < 0:
                begins = begins or len(bars) == 1
                continue
            if new and (begins or place is None):
                if place is not None:
                    yield place, tuple(notes)
                place, notes = (number, voice, index), []
            begins = False
            written = events[voice][index]
            if new and written is not None:
                length = written.event.event.duration
                notes.append((written.pitches[0].position, written.pitches[-1].position, length))
    if place is not None:
        yield place, tuple(notes)


# ----------------------------------------------------------------
# Passages that are written an octave nearer to the staff, under `8va`, where they would hang on many ledger lines.
#
# In: a written staff and its instrument. Out: the same staff; the first leaf of such a passage, and the first after it,
# say so. Pitches stay as they are; only their place on the staff moves. Winds, brass and singers read ledger lines and
# get none. Source of the custom: common practice; how long and how high is this project's own.


_HIGH, _LOW = frozenset(("keyboard", "plucked", "strings", "percussion")), frozenset(("keyboard",))
"""Families whose players read `8va` above the treble clef, and `8vb` below the bass clef."""
_BORNE = 2
"""So many ledger lines are nothing to mind: a passage begins and ends with notes that need more, and holds no other."""
_LEAST_NOTES, _LEAST_WEIGHT = 4, 10
"""So many notes, and so many ledger lines beyond those, all notes together."""


def with_ottavas(staff: WrittenStaff, instrument: Instrument) -> WrittenStaff:
    """The staff with its passages under `8va`; a staff of two voices has none."""
    sides = [side for side, families in ((1, _HIGH), (-1, _LOW)) if instrument.family in families]
    if not sides or instrument.unpitched or any(len(bar.voices) > 1 for bar in staff.bars):
        return staff
    line = [leaf for bar in staff.bars for voice in bar.voices for leaf in leaves(voice)]
    turns: dict[int, int] = {}
    for side in sides:
        for first, after in _passages(_ledgers(line, staff.clef, side)):
            turns[first], turns[after] = side, turns.get(after, 0)
    if not turns:
        return staff
    count = iter(range(len(line)))
    bars = tuple(
        replace(bar, voices=tuple(_turned(voice, count, turns) for voice in bar.voices)) for bar in staff.bars
    )
    return replace(staff, bars=bars)


def _ledgers(line: list[Leaf], clef: str, side: int) -> Iterator[int | None]:
    """For each leaf the ledger lines of its note nearest the staff, above or below; None for a rest."""
    usual = "treble" if side > 0 else "bass"
    for leaf in line:
        clef = leaf.clef or clef
        if not leaf.heads:
            yield -1 if leaf.whole_bar else None
        elif clef != usual:
            yield 0
        else:
            bottom = bottom_line(clef)
            near = leaf.heads[0 if side > 0 else -1].pitch.position
            yield max(0, (near - bottom - 8) // 2 if side > 0 else (bottom - near) // 2)


def _passages(ledgers: Iterator[int | None]) -> Iterator[tuple[int, int]]:
    """From the first leaf of each passage to the one after its last note."""
    high: dict[int, int] = {}
    for place, lines in enumerate((*ledgers, -1)):
        if lines is None:
            continue
        if lines > _BORNE:
            high[place] = lines - _BORNE
        elif lines < _BORNE:
            if len(high) >= _LEAST_NOTES and sum(high.values()) >= _LEAST_WEIGHT:
                yield min(high), max(high) + 1
            high = {}


def _turned(items: tuple[WrittenItem, ...], count: Iterator[int], turns: dict[int, int]) -> tuple[WrittenItem, ...]:
    made: list[WrittenItem] = []
    for item in items:
        if isinstance(item, Tuplet):
            made.append(replace(item, items=_turned(item.items, count, turns)))
            continue
        place = next(count)
        made.append(replace(item, ottava=turns[place]) if place in turns else item)
    return tuple(made)
