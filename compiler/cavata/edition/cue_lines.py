"""The lines that could be a cue, and how well a player would know each again.

In: a movement. Out: every line of the other parts that has pitch; for a stretch of whole bars the line with the most
points and its notes there, cut at both ends, with slurs, articulations and what is sung, but without dynamics and signs
of ornament: a cue is read at a glance. Source: common practice; the weights are this project's own.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction

from cavata.music.event import LASTING, Marks
from cavata.record import record, replace
from cavata.score.score import Movement, Part, Score, ScoreEvent, loudness

SOLOIST, SAME_FAMILY, SUNG, DRUMS = 6, 3, 3, 6
ON_TOP = 4
"""No other line lies above it."""
ENTERS, BEGINS_AT_ONCE = 2, 3
"""It was silent just before; a note begins with the cue."""
LIVELY, HURRIED = 6, 8
"""Notes in a bar: up to so many a livelier line is clearer; more than so many are hard to read in small print."""
SEMITONES_A_POINT = 6
"""How much farther away costs a point."""
LEAST_SOUNDING = Fraction(1, 2)
"""The share of the cue that sounds."""
CHORDS = 3
"""What a line of chords loses: a cue shows one note at a time best."""
_LOUDNESS = {name: place for place, name in enumerate(LASTING)}
_USUAL_LOUDNESS = _LOUDNESS["mf"]
_ON_NOTES = frozenset(("staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato"))


@record
class CueLine:
    """One voice of another part."""

    label: str
    liking: int
    """Points for whose it is."""
    events: tuple[ScoreEvent, ...]
    onsets: tuple[Fraction, ...]
    loudness: tuple[int, ...]
    """At each event, as the last dynamic says."""


def lines_around(score: Score, movement: Movement, places: Collection[int]) -> Iterator[CueLine]:
    """The pitched lines of all parts but those at these places, in score order."""
    family = score.parts[min(places)].instrument.family
    for place, (part, staves) in enumerate(zip(score.parts, movement.staves, strict=True)):
        if place in places or part.instrument.unpitched:
            continue
        for staff in staves:
            for voice in staff.voices:
                events = tuple(event for event in voice if event.event.heads)
                if events:
                    sung = any(event.event.marks.sung for event in events)
                    liking = SOLOIST * part.soloist + SAME_FAMILY * (part.instrument.family == family) + SUNG * sung
                    liking -= DRUMS * (part.instrument.family == "percussion")
                    onsets = tuple(event.onset for event in events)
                    yield CueLine(_short_name(part), liking, events, onsets, tuple(_loudness(events)))


def _short_name(part: Part) -> str:
    """Whose line it is, in as few letters as a glance takes: without the key that the instrument stands in."""
    name, _, key = part.abbreviation.rpartition(" (")
    return name if name and key.endswith(")") and part.instrument.abbreviation.endswith(")") else part.abbreviation


def _loudness(events: Sequence[ScoreEvent]) -> Iterator[int]:
    now = _USUAL_LOUDNESS
    for in_force in loudness(events):
        now = _LOUDNESS.get(in_force, now)
        yield now


def best_line(
    lines: Sequence[CueLine], onset: Fraction, end: Fraction, bars: int, near: int | None
) -> tuple[Fraction, CueLine, tuple[ScoreEvent, ...]] | None:
    """The line with the most points in a stretch, the first of equals; `near` is the key of the reader's entry."""
    sounding = [(line, inside(line, onset, end)) for line in lines]
    tops = [_height(events) for _, events in sounding if events]
    best: tuple[Fraction, CueLine, tuple[ScoreEvent, ...]] | None = None
    for line, events in sounding:
        if sum((event.event.duration for event in events), Fraction(0)) < LEAST_SOUNDING * (end - onset):
            continue
        points = _points(line, events, onset, bars, near) + ON_TOP * (_height(events) == max(tops))
        if best is None or points > best[0]:
            best = points, line, events
    return None if best is None else (best[0], best[1], plain_notes(best[2]))


def inside(line: CueLine, onset: Fraction, end: Fraction) -> tuple[ScoreEvent, ...]:
    """The line's events in a stretch, cut at its ends."""
    first, last = bisect_left(line.onsets, onset), bisect_left(line.onsets, end)
    first -= first > 0 and line.events[first - 1].end > onset
    cut = []
    for event in line.events[first:last]:
        begin, stop = max(event.onset, onset), min(event.end, end)
        tied = event.tied_before and begin == event.onset and begin > onset
        lasting = event.event.lasting(stop - begin)
        if begin > event.onset:  # what is sung here was begun before
            lasting = replace(lasting, marks=replace(lasting.marks, sung=(), words=()))
        cut.append(replace(
            event, onset=begin, event=lasting, tied_before=tied,
            tied_after=event.tied_after and stop == event.end and stop < end, voice=0,
        ))  # fmt: skip
    return tuple(cut)


def _height(events: Sequence[ScoreEvent]) -> Fraction:
    """The mean key of the highest notes."""
    highest: list[int] = [event.event.heads[-1].pitch.midi for event in events]
    return Fraction(sum(highest), len(highest))


def _points(
    line: CueLine, events: tuple[ScoreEvent, ...], onset: Fraction, bars: int, near: int | None
) -> Fraction:  # fmt: skip
    first = bisect_left(line.onsets, onset)
    struck = sum(1 for event in events if event.onset > onset) + (events[0].onset == onset == _at(line, first))
    density = Fraction(struck, bars)
    points = line.liking + min(density, Fraction(LIVELY)) - max(Fraction(0), density - HURRIED) / 2
    points += BEGINS_AT_ONCE * (_at(line, first) == onset)
    points += ENTERS * (first == 0 or line.events[first - 1].end < onset)
    if any(event.event.is_chord for event in events):
        points -= CHORDS
    if len({event.event.heads[-1].pitch for event in events}) < 2:
        points -= CHORDS
    points += line.loudness[max(0, bisect_right(line.onsets, onset) - 1)] - _USUAL_LOUDNESS
    return points if near is None else points - abs(_height(events) - near) / SEMITONES_A_POINT


def _at(line: CueLine, place: int) -> Fraction | None:
    return line.onsets[place] if place < len(line.onsets) else None


def plain_notes(events: Sequence[ScoreEvent], words: bool = False) -> tuple[ScoreEvent, ...]:
    """The notes with their articulations and what is sung, and with slurs that both begin and end among them.

    With `words` also what is written over them, where the player follows somebody who is free.
    """
    marks: list[Marks] = []
    begun: int | None = None
    for place, event in enumerate(events):
        own = event.event.marks
        kept = Marks(
            articulations=tuple(name for name in own.articulations if name in _ON_NOTES), sung=own.sung,
            words=own.words if words else (), spoken=own.spoken,
        )  # fmt: skip
        marks.append(kept)
        if own.slur_ends and begun is not None and begun != place:
            marks[begun] = replace(marks[begun], slur_begins=True)
            marks[place] = replace(marks[place], slur_ends=True)
            begun = None
        if own.slur_begins:
            begun = place
    last = max((place for place, kept in enumerate(marks) if any(one.text for one in kept.sung)), default=None)
    if last is not None:  # a hyphen that leads to nothing would not be seen
        cut = (replace(one, text=f"{one.text}-", goes_on=False) if one.goes_on else one for one in marks[last].sung)
        marks[last] = replace(marks[last], sung=tuple(cut))
    return tuple(event.with_marks(kept) for event, kept in zip(events, marks, strict=True))
