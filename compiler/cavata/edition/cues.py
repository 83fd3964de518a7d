"""Cues: what a player who has counted many bars of rest hears shortly before the entry.

In: the score, a movement of it, the index of a part and its staves. Out: the staves with cues, each a few whole bars of
one line of another part that end where the bar of the entry begins. The line is the one a player will know again: it
can be heard, moves, has begun or begins with the cue, is a soloist's or of the same family, and lies near. The same
score gives the same cues. Source of when and how: common practice; the weights are this project's own.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import LASTING, Marks
from cavata.record import record, replace
from cavata.score.clock import Clock
from cavata.score.score import Cue, Movement, Score, ScoreBar, ScoreEvent, Staff, events_of, loudness

# ----------------------------------------------------------------
# The lines that could be a cue, and how well a player would know each again.
#
# In: a movement. Out: every line of the other parts that has pitch; for a stretch of whole bars the line with the most
# points and its notes there, cut at both ends, with slurs and articulations but without dynamics, words and signs of
# ornament: a cue is read at a glance. Source: common practice; the weights are this project's own.


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


def lines_around(score: Score, movement: Movement, index: int) -> tuple[CueLine, ...]:
    """The pitched lines of all parts but one, in score order."""
    return tuple(_lines_around(score, movement, index))


def _lines_around(score: Score, movement: Movement, index: int) -> Iterator[CueLine]:
    family = score.parts[index].instrument.family
    for place, (part, staves) in enumerate(zip(score.parts, movement.staves, strict=True)):
        if place == index or part.instrument.unpitched:
            continue
        for staff in staves:
            for voice in staff.voices:
                events = tuple(event for event in voice if event.event.heads)
                if events:
                    sung = any(event.event.marks.sung for event in events)
                    liking = SOLOIST * part.soloist + SAME_FAMILY * (part.instrument.family == family) + SUNG * sung
                    liking -= DRUMS * (part.instrument.family == "percussion")
                    onsets = tuple(event.onset for event in events)
                    yield CueLine(part.abbreviation, liking, events, onsets, tuple(_loudness(events)))


def _loudness(events: Sequence[ScoreEvent]) -> Iterator[int]:
    now = _USUAL_LOUDNESS
    for in_force in loudness(events):
        now = _LOUDNESS.get(in_force, now)
        yield now


def best_line(
    lines: Sequence[CueLine], onset: Fraction, end: Fraction, bars: int, near: int | None
) -> tuple[Fraction, CueLine, tuple[ScoreEvent, ...]] | None:
    """The line with the most points in a stretch, the first of equals; `near` is the key of the reader's entry."""
    sounding = [(line, _inside(line, onset, end)) for line in lines]
    tops = [_height(events) for _, events in sounding if events]
    best: tuple[Fraction, CueLine, tuple[ScoreEvent, ...]] | None = None
    for line, events in sounding:
        if sum((event.event.duration for event in events), Fraction(0)) < LEAST_SOUNDING * (end - onset):
            continue
        points = _points(line, events, onset, bars, near) + ON_TOP * (_height(events) == max(tops))
        if best is None or points > best[0]:
            best = points, line, events
    return None if best is None else (best[0], best[1], _plain(best[2]))


def _inside(line: CueLine, onset: Fraction, end: Fraction) -> tuple[ScoreEvent, ...]:
    """The line's events in a stretch, cut at its ends."""
    first, last = bisect_left(line.onsets, onset), bisect_left(line.onsets, end)
    first -= first > 0 and line.events[first - 1].end > onset
    cut = []
    for event in line.events[first:last]:
        begin, stop = max(event.onset, onset), min(event.end, end)
        tied = event.tied_before and begin == event.onset and begin > onset
        cut.append(replace(
            event, onset=begin, event=event.event.lasting(stop - begin), tied_before=tied,
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


def _plain(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """The notes with their articulations, and with slurs that both begin and end among them."""
    marks: list[Marks] = []
    begun: int | None = None
    for place, event in enumerate(events):
        own = event.event.marks
        kept = Marks(articulations=tuple(name for name in own.articulations if name in _ON_NOTES))
        marks.append(kept)
        if own.slur_ends and begun is not None and begun != place:
            marks[begun] = replace(marks[begun], slur_begins=True)
            marks[place] = replace(marks[place], slur_ends=True)
            begun = None
        if own.slur_begins:
            begun = place
    return tuple(
        replace(event, event=replace(event.event, marks=kept)) for event, kept in zip(events, marks, strict=True)
    )


# ----------------------------------------------------------------

LONG_WAIT_BARS = 8
"""After so many empty bars an entry has a cue."""
LONG_WAIT_SECONDS = 30
"""And after so long a silence by the clock, if the bars are fewer."""
CUE_BARS = (2, 3, 1)
"""How many bars a cue may have, the best first."""


def with_cues(score: Score, movement: Movement, index: int, staves: tuple[Staff, ...]) -> tuple[Staff, ...]:
    """The staves of one part; cues stand on the upper one."""
    entries = tuple(_long_awaited(movement, staves))
    if not entries:
        return staves
    lines = lines_around(score, movement, index)
    cues = tuple(cue for waited, entry in entries if (cue := _cue(lines, staves, waited, entry)) is not None)
    return (replace(staves[0], cues=cues), *staves[1:])


def _long_awaited(movement: Movement, staves: Sequence[Staff]) -> Iterator[tuple[tuple[ScoreBar, ...], ScoreBar]]:
    """The empty bars before each entry that is long awaited, and the bar of the entry."""
    busy = sorted((event.onset, event.end) for event in events_of(staves) if event.event.heads)
    clock = Clock(movement)
    waited: list[ScoreBar] = []
    place = 0
    sounding = Fraction(0)
    for bar in movement.bars:
        end = bar.onset + bar.duration
        plays = sounding > bar.onset
        while place < len(busy) and busy[place][0] < end:
            sounding = max(sounding, busy[place][1])
            plays = True
            place += 1
        if not plays:
            waited.append(bar)
            continue
        if waited and _is_long(clock, waited):
            yield tuple(waited), bar
        waited = []


def _is_long(clock: Clock, waited: Sequence[ScoreBar]) -> bool:
    if len(waited) >= LONG_WAIT_BARS:
        return True
    begin, end = waited[0].onset, waited[-1].onset + waited[-1].duration
    return clock.between(begin, end) >= LONG_WAIT_SECONDS


def _cue(
    lines: Sequence[CueLine], staves: Sequence[Staff], waited: tuple[ScoreBar, ...], entry: ScoreBar
) -> Cue | None:
    """The best cue of any length before an entry; None where no line there would help."""
    near = _first_pitch(staves, entry)
    best: tuple[Fraction, Cue] | None = None
    for rank, count in enumerate(CUE_BARS):
        bars = waited[-count:]
        if len(bars) < count or not _is_one_stretch(bars, entry):
            continue
        found = best_line(lines, bars[0].onset, entry.onset, count, near)
        if found is None:
            continue
        points, line, events = found
        points -= rank
        if best is None or points > best[0]:
            best = points, Cue(bars[0].onset, entry.onset, line.label, events)
    return None if best is None else best[1]


def _is_one_stretch(bars: Sequence[ScoreBar], entry: ScoreBar) -> bool:
    """Whether the bars are played one after another and lead to the entry: measured, and no repeat between them."""
    row = (*bars, entry)
    joined = all(
        not before.repeat_ends and not before.closes and not after.opens and not after.repeat_begins
        and before.ending == after.ending
        for before, after in zip(row, row[1:], strict=False)
    )
    return joined and all(bar.meter is not None and bar.bar_in_section > 0 for bar in bars)


def _first_pitch(staves: Sequence[Staff], entry: ScoreBar) -> int | None:
    """The highest key of the first notes of an entry; None for unpitched ones or none."""
    inside = (event for event in events_of(staves) if entry.onset <= event.onset < entry.onset + entry.duration)
    found = [(event.onset, -head.pitch.midi) for event in inside for head in event.event.heads]
    return -min(found)[1] if found else None
