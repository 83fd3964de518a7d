"""A piece in figures: how much of it there is, who plays most, how far each part goes, and what comes from names.

In: a score. Out: figures as the score is written: what is repeated counts once, a tied note once, a grace note never.
Ranges are the instruments' from the table: a guide, since the player knows better.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from cavata.music.pitch import Pitch
from cavata.record import record
from cavata.score.clock import clock_text
from cavata.score.score import Part, Score, ScoreEvent, events_of
from cavata.tell.index_shown import NONE, printed_bar
from cavata.tell.places import NamedPlace, PlaceFinder
from cavata.tell.timings import seconds_text
from cavata.text import so_many, text_table


@record
class Rest:
    """A stretch without a note."""

    begins: NamedPlace
    seconds: Fraction
    whole_movement: bool


@record
class PartStats:
    """One part."""

    part: Part
    notes: int
    from_names: int
    sounding: Fraction
    """Seconds in which it sounds."""
    lowest: Pitch | None
    """None for a part that has no pitch, or no note."""
    highest: Pitch | None
    longest_rest: Rest | None
    """The first of the longest; None where it never rests."""

    @property
    def label(self) -> str:
        """As printed."""
        return self.part.label or self.part.name

    @property
    def outside(self) -> str:
        """What the range used says beside the instrument's: `beyond the range`, `not comfortable`, or nothing."""
        low, high, instrument = self.lowest, self.highest, self.part.instrument
        if low is None or high is None or instrument.lowest is None or instrument.highest is None:
            return ""
        if self.part.doublings:  # the notes are those of several instruments
            return ""
        if low.midi < instrument.lowest.midi or high.midi > instrument.highest.midi:
            return "beyond the range"
        easy = instrument.comfortable
        return "not comfortable" if easy and (low.midi < easy[0].midi or high.midi > easy[1].midi) else ""


@record
class Stats:
    """The piece."""

    title: str
    movements: int
    sections: int
    bars: int
    """Pickups and free time left out."""
    free_stretches: int
    seconds: Fraction
    """As it is played, repeats counted."""
    notes: int
    from_names: int
    of_names: tuple[tuple[str, int], ...]
    """Notes that come from each name, the most first; one that two names meet in counts for both."""
    parts: tuple[PartStats, ...]

    @property
    def busiest(self) -> PartStats | None:
        """The part with the most notes; the first of several."""
        return max(self.parts, key=lambda part: part.notes, default=None)


def stats(score: Score) -> Stats:
    """The figures of a piece."""
    places = PlaceFinder(score)
    parts = tuple(_part(score, places, number) for number in range(len(score.parts)))
    of_names: dict[str, int] = {}
    for number in range(len(score.parts)):
        for _, event in _events(score, number):
            for name in _names(event):
                of_names[name] = of_names.get(name, 0) + 1
    bars = [bar for movement in score.movements for bar in movement.bars]
    return Stats(
        score.header.title, len(score.movements),
        sum(1 for movement in score.movements for section in movement.sections if section.name),
        sum(1 for bar in bars if bar.meter is not None and bar.number and not bar.before),
        sum(1 for bar in bars if bar.meter is None),
        places.length, sum(part.notes for part in parts), sum(part.from_names for part in parts),
        tuple(sorted(of_names.items(), key=lambda item: (-item[1], item[0]))), parts,
    )  # fmt: skip


def _events(score: Score, part: int) -> Iterator[tuple[int, ScoreEvent]]:
    """The events of a part with the numbers of their movements, by onset in each movement."""
    for number, movement in enumerate(score.movements):
        events = sorted(events_of(movement.staves[part]), key=lambda event: event.onset)
        yield from ((number, event) for event in events if event.event.heads)


def _names(event: ScoreEvent) -> Iterator[str]:
    """For each note of an event that is struck there the names it comes from."""
    if not event.tied_before:
        for head in event.event.heads:
            yield from dict.fromkeys(letter.name for letter in head.letters)


def _part(score: Score, places: PlaceFinder, number: int) -> PartStats:
    part = score.parts[number]
    events = tuple(_events(score, number))
    struck = [head for _, event in events if not event.tied_before for head in event.event.heads]
    pitches = [] if part.instrument.unpitched else sorted((head.pitch for head in struck), key=lambda p: p.midi)
    rests: list[Rest] = []
    sounding = Fraction(0)
    for movement, found in enumerate(score.movements):
        clock, whole = places.clocks[movement], (Fraction(0), found.duration)
        silences = [
            Rest(places.at(movement, begin), clock.between(begin, end), (begin, end) == whole)
            for begin, end in _silences([event for at, event in events if at == movement], found.duration)
        ]
        rests += silences
        sounding += clock.between(*whole) - sum((rest.seconds for rest in silences), Fraction(0))
    return PartStats(
        part, len(struck), sum(bool(head.letters) for head in struck), sounding,
        pitches[0] if pitches else None, pitches[-1] if pitches else None,
        max(rests, key=lambda rest: rest.seconds, default=None),
    )  # fmt: skip


def _silences(events: Sequence[ScoreEvent], duration: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """From and to of each stretch of so long a movement without a note of these."""
    now = Fraction(0)
    for event in events:
        if event.onset > now:
            yield now, event.onset
        now = max(now, event.end)
    if now < duration:
        yield now, duration


# ----------------------------------------------------------------
# The figures of a piece as one screen, and as one JSON document.


MOST_NAMES = 7
"""So many names have their figures on the screen; the document has all."""


def stats_text(found: Stats) -> str:
    """The figures: of the piece, then of each part."""
    lines = [found.title, ""]
    lines += [f"{label:<11} {value}" for label, value in _facts(found)]
    table = text_table(
        ("part", "notes", "from names", "sounds", "range used", "instrument's", "guide", "longest rest"),
        [_row(part) for part in found.parts], frozenset({1, 2, 3}),
    )  # fmt: skip
    note = "Ranges are a guide; the player knows better. What is repeated counts once."
    return "\n".join([*lines, "", table + "\n" + note]) + "\n"


def _facts(found: Stats) -> list[tuple[str, str]]:
    sections = f" and {so_many(found.sections, 'section')}" if found.sections else ""
    free = f", and {found.free_stretches} in free time" if found.free_stretches else ""
    facts = [
        ("length", clock_text(found.seconds)),
        ("bars", f"{found.bars} in {so_many(found.movements, 'movement')}{sections}{free}"),
        ("notes", f"{found.notes}, of which {_percent(found.from_names, found.notes)} come from names"),
    ]
    if found.of_names:
        shown = [f"{name} {_percent(count, found.notes)}" for name, count in found.of_names[:MOST_NAMES]]
        more = len(found.of_names) - MOST_NAMES
        facts.append(("names", ", ".join(shown) + (f" and {more} more" if more > 0 else "")))
    if found.busiest is not None and found.busiest.notes:
        facts.append(("busiest", f"{found.busiest.label}, {so_many(found.busiest.notes, 'note')}"))
    return facts


def _percent(count: int, all_of: int) -> str:
    if 0 < 200 * count < all_of:
        return "< 1 %"
    return f"{round(100 * count / all_of)} %" if all_of else "0 %"


def _row(part: PartStats) -> tuple[str, ...]:
    instrument = part.part.instrument
    used = f"{part.lowest}..{part.highest}" if part.lowest else NONE
    can = f"{instrument.lowest}..{instrument.highest}" if instrument.lowest else NONE
    return (
        part.part.name, str(part.notes), _percent(part.from_names, part.notes), clock_text(part.sounding), used, can,
        part.outside or NONE, _rest(part.longest_rest),
    )  # fmt: skip


def _rest(rest: Rest | None) -> str:
    if rest is None:
        return NONE
    name = rest.begins.movement.name
    if rest.whole_movement:
        return f"{seconds_text(rest.seconds)}, all of {name}"
    where = "free time" if rest.begins.bar is None else f"bar {printed_bar(rest.begins)}"
    return f"{seconds_text(rest.seconds)}, {name} {where}"


def stats_json(found: Stats) -> dict[str, Any]:
    """The figures; shares are parts of one."""
    return {
        "title": found.title, "seconds": float(found.seconds), "movements": found.movements,
        "sections": found.sections, "bars": found.bars, "free_stretches": found.free_stretches,
        "notes": found.notes, "notes_from_names": found.from_names,
        "share_from_names": round(found.from_names / found.notes, 6) if found.notes else 0.0,
        "names": [{"name": name, "notes": count} for name, count in found.of_names],
        "busiest": found.busiest.part.name if found.busiest and found.busiest.notes else None,
        "parts": [_part_as_data(part) for part in found.parts],
    }  # fmt: skip


def _part_as_data(part: PartStats) -> dict[str, Any]:
    rest, instrument = part.longest_rest, part.part.instrument
    return {
        "part": part.part.name, "label": part.label, "notes": part.notes, "notes_from_names": part.from_names,
        "sounding_seconds": float(part.sounding),
        "lowest": None if part.lowest is None else str(part.lowest),
        "highest": None if part.highest is None else str(part.highest),
        "instrument_lowest": None if instrument.lowest is None else str(instrument.lowest),
        "instrument_highest": None if instrument.highest is None else str(instrument.highest),
        "outside": part.outside,
        "longest_rest": None if rest is None else {
            "seconds": float(rest.seconds), "movement": rest.begins.movement.name, "bar": rest.begins.bar,
            "whole_movement": rest.whole_movement,
        },
    }  # fmt: skip
