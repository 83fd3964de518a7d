"""Cues on the reader's staff: small notes beside the rest, in the reader's own clef and transposition.

In: a written staff, its cues, and how the staff is read. Out: the same staff, the bars of each cue with its notes. A
cue that would lie far outside the staff is written in another octave, and says so. Above its first note stands
whose it is. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from cavata.music.event import Head, Marks
from cavata.notate.clefs import bottom_line, ledger_lines
from cavata.notate.frames import WrittenSpan
from cavata.notate.spelled_voice import StaffPlan
from cavata.notate.staff import write_staff
from cavata.notate.transposition import PitchWriting
from cavata.notate.voice import Ticks
from cavata.notate.written import SHORTEST, Leaf, WrittenItem, WrittenStaff, leaves
from cavata.record import replace
from cavata.score.score import Cue, ScoreEvent, Staff

_OCTAVES = (0, -1, 1, -2, 2, -3, 3)
"""Octaves a cue may be moved by, the nearest first."""
_SOUNDS = {-1: "8va", 1: "8vb", -2: "15ma", 2: "15mb", -3: "22ma", 3: "22mb"}
"""How it sounds from where it is written, which is the other way than it was moved; the same in every language."""
_REST, _BEYOND = 6, 5
"""How far from the middle line a rest beside a cue stands at least, and how far from its notes, in steps."""
_MIDDLE = 4
"""The middle line above the lowest, in steps."""


def with_cue_notes(written: WrittenStaff, cues: Sequence[Cue], plan: StaffPlan) -> WrittenStaff:
    """The staff with its cues; without one that no note values can say."""
    bars = list(written.bars)
    for cue in cues:
        places = [place for place, span in enumerate(plan.spans) if cue.onset <= span.onset < cue.end]
        clef = written.clef_before(places[0])
        line, below, rest = _line(cue, clef, plan, places)
        if not all(map(_can_be_written, line)):
            continue
        for place, items in zip(places, line, strict=True):
            bars[place] = replace(bars[place], cue=items, cue_below=below, cue_rest=rest if items else 0)
    return replace(written, bars=tuple(bars))


def _can_be_written(items: Sequence[WrittenItem]) -> bool:
    """Whether all of its values have names: in free time a cue may begin at any moment of the reader's rest."""
    return all(
        item.base >= SHORTEST if isinstance(item, Leaf) else item.unit >= SHORTEST and _can_be_written(item.items)
        for item in items
    )


def _line(
    cue: Cue, clef: str, plan: StaffPlan, places: Sequence[int]
) -> tuple[list[tuple[WrittenItem, ...]], bool, int]:
    """Each bar's items, whether they lie below the middle line, and where the reader's rest is out of their way."""
    spans = tuple(plan.spans[place] for place in places)
    readings = tuple(replace(plan.readings[place], tuning=None) for place in places)
    shift = 0 if plan.instrument.unpitched else _octaves(cue, clef, readings[0])
    events = tuple(_moved(event, shift) for event in cue.events)
    label = cue.label + (f" ({_SOUNDS[shift]})" if shift else "")
    events = (events[0].marked(Marks(words=(label,))), *events[1:])
    small = write_staff(Staff("", (events,)), plan_within(plan, clef, spans, readings))
    heights = () if plan.instrument.unpitched else _heights(small, clef)
    below = sum(heights) < 0
    bars = [() if _rests(bar.voices[0]) else bar.voices[0] for bar in small.bars]
    return bars, below, _outside(heights, below)


def _outside(heights: Sequence[int], below: bool) -> int:
    """Where a rest stands outside the staff and beyond the cue's notes with their accidentals; on a line or between."""
    if below:
        return max(_REST, 2 * ceil((max(heights) + _BEYOND) / 2))
    return min(-_REST, 2 * floor((min(heights, default=0) - _BEYOND) / 2))


def _rests(items: tuple[WrittenItem, ...]) -> bool:
    """Whether a bar of the cue is silent: the reader's own rest says so."""
    return not any(leaf.heads for leaf in leaves(items))


def plan_within(
    plan: StaffPlan, clef: str, spans: tuple[WrittenSpan, ...], readings: tuple[PitchWriting, ...]
) -> StaffPlan:
    """The plan of a staff for a few bars of it, in one clef."""
    signature = None if plan.instrument.unpitched else readings[0].signature
    signatures = (signature, *(None for _ in spans[1:]))
    return StaffPlan(plan.instrument, (clef,), spans, readings, signatures, Ticks.of(plan.time.whole, spans))


def _octaves(cue: Cue, clef: str, reading: PitchWriting) -> int:
    """By how many octaves the cue is moved, so that it needs the fewest ledger lines."""
    positions = [reading.written(head.pitch).position for event in cue.events for head in event.event.heads]

    def lines(octaves: int) -> int:
        return sum(max(0, ledger_lines(clef, at, at) - 1) for at in (place + 7 * octaves for place in positions))

    return min(_OCTAVES, key=lambda octaves: (lines(octaves), _OCTAVES.index(octaves)))


def _moved(event: ScoreEvent, octaves: int) -> ScoreEvent:
    if not octaves:
        return event
    heads = tuple(Head(head.pitch.shifted(octaves), head.origins) for head in event.event.heads)
    return replace(event, event=event.event.with_heads(heads))


def _heights(small: WrittenStaff, clef: str) -> tuple[int, ...]:
    """How high each note lies, in steps from the middle line."""
    middle = bottom_line(clef) + _MIDDLE
    return tuple(
        head.pitch.position - middle
        for bar in small.bars for leaf in leaves(bar.voices[0]) for head in leaf.heads
    )  # fmt: skip
