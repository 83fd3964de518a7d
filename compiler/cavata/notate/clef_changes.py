"""Where on a staff the clef may change, and where it does.

In: the staff's spelled bars and written events. Out: the first clef, and each change at the note it stands before. A
change may come at the first note of a bar or, on a staff of one voice, at any note after a rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from cavata.notate.clefs import Stretch, clefs_for
from cavata.notate.spelled_voice import StaffPlan, VoiceBar, WrittenEvent, strikes


def clef_changes(
    bars: Sequence[Sequence[VoiceBar | None]], events: Sequence[Sequence[WrittenEvent | None]], plan: StaffPlan
) -> tuple[str, dict[tuple[int, int, int], str]]:
    """The first clef, and each change by span, voice and event."""
    if plan.instrument.unpitched:
        return "percussion", {}
    places: list[tuple[int, int, int]] = []
    stretches: list[Stretch] = []
    if len(plan.clefs) > 1 or plan.span_clefs:
        for place, notes in _stretches(bars, events):
            places.append(place)
            stretches.append(Stretch(notes))
    chosen = tuple(_chosen(places, stretches, plan))
    first = chosen[0] if chosen else plan.clefs[0]
    changes = {
        place: clef for place, clef, before in zip(places, chosen, (first, *chosen), strict=False) if clef != before
    }
    return first, changes


def _chosen(
    places: Sequence[tuple[int, int, int]], stretches: Sequence[Stretch], plan: StaffPlan
) -> Iterator[str]:
    """The clef of each stretch; each instrument that is taken up has clefs of its own."""
    if not plan.span_clefs:
        yield from clefs_for(stretches, plan.clefs)
        return
    placed = zip(places, stretches, strict=True)
    for clefs, run in groupby(placed, key=lambda pair: plan.span_clefs[pair[0][0]]):
        yield from clefs_for([stretch for _, stretch in run], clefs)


def _stretches(
    bars: Sequence[Sequence[VoiceBar | None]], events: Sequence[Sequence[WrittenEvent | None]]
) -> Iterator[tuple[tuple[int, int, int], tuple[tuple[int, int], ...]]]:
    """The place each stretch begins at, and the lowest and highest position of its notes and chords."""
    place: tuple[int, int, int] | None = None
    notes: list[tuple[int, int]] = []
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
                notes.append((written.pitches[0].position, written.pitches[-1].position))
    if place is not None:
        yield place, tuple(notes)
