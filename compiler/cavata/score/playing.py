"""The order in which a movement is played: repeats and jumps written out.

In: the bars of a movement with their repeat signs, endings, segno, coda and fine. Out: the stretches of the score in
the order in which they sound; and a movement as it is played, everything at the onset at which it is heard. Holds
after: a note that is under way where the playing goes back is cut there; a note has the words of one verse, that of the
time it is played, or of the last one before it that has words there. Where several have words, one that begins later in
the same item, as after an upbeat, has none.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.music.event import Verses
from cavata.record import replace
from cavata.score.score import (
    FINE,
    SEGNO,
    TO_CODA,
    InstrumentChange,
    Movement,
    Score,
    ScoreBar,
    ScoreEvent,
    Section,
    Staff,
    Tempo,
    is_jump,
)
from cavata.source import Span

Stretches = tuple[tuple[Fraction, Fraction], ...]


def playing_order(bars: Sequence[ScoreBar]) -> Stretches:
    """From and to, in whole notes of the score, stretch after stretch; nothing if it is played as it stands."""
    if not any(bar.repeat_begins or any(map(is_jump, bar.closes)) for bar in bars):
        return ()
    return _joined([bar for bar, _ in _order(bars)])


def _order(bars: Sequence[ScoreBar]) -> list[tuple[ScoreBar, int]]:
    """Every bar as often as it is played, with the time of its repeat, counted from 1.

    After a jump repeats are not played again, of endings the last. Source: common practice.
    """
    jump = next((index for index, bar in enumerate(bars) if any(map(is_jump, bar.closes))), None)
    if jump is None:
        return _repeated(bars)
    words = next(filter(is_jump, bars[jump].closes))
    begin = _first(bars, SEGNO) if words.startswith("dal segno") else 0
    first, again, rest = _repeated(bars[: jump + 1]), bars[begin : jump + 1], bars[jump + 1 :]
    if words.endswith(("al fine", "al coda")):
        sign = FINE if words.endswith("fine") else TO_CODA
        end = next(index for index, bar in enumerate(bars) if sign in bar.closes)
        again = bars[begin : end + 1]
    last_time = {bar.onset: time for bar, time in first}
    return [*first, *((bar, last_time.get(bar.onset, 1)) for bar in _once(again)), *_repeated(rest)]


def _repeated(bars: Sequence[ScoreBar]) -> list[tuple[ScoreBar, int]]:
    """The bars with their repeats."""
    order: list[tuple[ScoreBar, int]] = []
    at = 0
    while at < len(bars):
        if bars[at].repeat_begins:
            end = _end_of_repeat(bars, at)
            order += _passes(bars[at:end])
            at = end
        else:
            order.append((bars[at], 1))
            at += 1
    return order


def _once(bars: Sequence[ScoreBar]) -> Iterator[ScoreBar]:
    """The bars without their repeats, of endings the last."""
    for ends, group in groupby(bars, key=lambda bar: bar.section if bar.ending else None):
        stretch = list(group)
        last = 0 if ends is None else max(number for bar in stretch for number in bar.ending)
        yield from (bar for bar in stretch if ends is None or last in bar.ending)


def _first(bars: Sequence[ScoreBar], sign: str) -> int:
    """The index of the bar at whose beginning a sign stands."""
    return next(index for index, bar in enumerate(bars) if sign in bar.opens)


def _end_of_repeat(bars: Sequence[ScoreBar], at: int) -> int:
    """The index after the last bar that belongs to the repeat that begins at a bar."""
    while at < len(bars) and not bars[at].ending:
        if bars[at].repeat_ends:
            return at + 1
        at += 1
    while at < len(bars) and bars[at].ending:
        at += 1
    return at


def _passes(bars: Sequence[ScoreBar]) -> list[tuple[ScoreBar, int]]:
    numbers = [number for bar in bars for number in bar.ending]
    times = max(numbers) if numbers else bars[-1].repeat_ends
    return [(bar, time) for time in range(1, times + 1) for bar in bars if not bar.ending or time in bar.ending]


def _joined(bars: Sequence[ScoreBar]) -> Stretches:
    stretches: list[tuple[Fraction, Fraction]] = []
    for bar in bars:
        end = bar.end
        if stretches and stretches[-1][1] == bar.onset:
            stretches[-1] = (stretches[-1][0], end)
        else:
            stretches.append((bar.onset, end))
    return tuple(stretches)


def played_score(score: Score) -> Score:
    """The score with every movement as it is played."""
    if not any(movement.playing for movement in score.movements):
        return score
    return replace(score, movements=tuple(played(movement) for movement in score.movements))


def played(movement: Movement) -> Movement:
    """The movement with its repeats written out; itself if it has none."""
    if not movement.playing:
        return movement
    starts: list[Fraction] = []
    now = Fraction(0)
    for begin, end in movement.playing:
        starts.append(now)
        now += end - begin
    places = tuple(
        (begin, end, start - begin) for (begin, end), start in zip(movement.playing, starts, strict=True)
    )
    bars = tuple(
        replace(bar, onset=bar.onset + shift, repeat_begins=False, repeat_ends=0, ending=(), opens=(), closes=())
        for begin, end, shift in places
        for bar in movement.bars
        if begin <= bar.onset < end
    )
    times = _Times(bars, [time for _, time in _order(movement.bars)])
    return replace(
        movement, duration=now, bars=bars, playing=(), sections=_sections(movement, places, bars),
        tempi=_tempi(movement.tempi, places), changes=tuple(_changes(movement.changes, places)),
        staves=tuple(
            tuple(
                Staff(staff.name, tuple(_events(voice, places, times) for voice in staff.voices)) for staff in staves
            )
            for staves in movement.staves
        ),
    )  # fmt: skip


_Places = tuple[tuple[Fraction, Fraction, Fraction], ...]
"""From, to, and how much later it sounds, stretch after stretch."""


def _sections(movement: Movement, places: _Places, bars: tuple[ScoreBar, ...]) -> tuple[Section, ...]:
    onsets = [bar.onset for bar in bars]
    found = [
        replace(section, onset=section.onset + shift, first_bar=max(0, bisect_right(onsets, section.onset + shift) - 1))
        for begin, end, shift in places
        for section in movement.sections
        if begin <= section.onset < end
    ]
    return tuple(found)


def _tempi(tempi: tuple[Tempo, ...], places: _Places) -> tuple[Tempo, ...]:
    """The tempi of each stretch, at its beginning the one that is in force there."""
    onsets = [tempo.onset for tempo in tempi]
    found: list[Tempo] = []
    for begin, end, shift in places:
        held = tempi[max(0, bisect_right(onsets, begin) - 1)]
        first = held if held.onset == begin else _from(held, begin)
        inside = (tempo for tempo in tempi if begin < tempo.onset < end)
        for tempo in (first, *inside):
            until = tempo.until
            if until is not None and until > end:
                # The change is broken off where the playing goes on elsewhere.
                tempo = replace(tempo, until=end, goal=tempo.seconds_at(end))
                until = end
            found.append(replace(tempo, onset=tempo.onset + shift, until=None if until is None else until + shift))
    return tuple(found)


def _changes(changes: tuple[InstrumentChange, ...], places: _Places) -> Iterator[InstrumentChange]:
    """Each stretch in which an instrument is in hand, as often as it is played, in order for each part."""
    found = [
        replace(change, begin=max(begin, change.begin) + shift, end=min(end, change.end) + shift)
        for begin, end, shift in places for change in changes if change.begin < end and begin < change.end
    ]  # fmt: skip
    return iter(sorted(found, key=lambda change: (change.part, change.begin)))


def _from(tempo: Tempo, onset: Fraction) -> Tempo:
    """What is in force at a later moment of a tempo, as far as a change of it has gone."""
    seconds = tempo.seconds_at(onset)
    under_way = tempo.until is not None and onset < tempo.until
    return replace(
        tempo, onset=onset, per_minute=60 / (seconds * tempo.beat), printed=False,
        until=tempo.until if under_way else None,
    )  # fmt: skip


class _Times:
    """Which time of its repeat each moment of the playing belongs to."""

    def __init__(self, bars: Sequence[ScoreBar], times: Sequence[int]) -> None:
        self._onsets = [bar.onset for bar in bars]
        self._times = times

    def at(self, onset: Fraction) -> int:
        """The time, counted from 1, at a moment as it is played."""
        return self._times[max(0, bisect_right(self._onsets, onset) - 1)]


class _Words:
    """Where the verses of each item of a voice begin."""

    def __init__(self, voice: Sequence[ScoreEvent]) -> None:
        self._begins: dict[tuple[Span, Fraction, int], Fraction] = {}
        for event in voice:
            for syllable in event.event.marks.sung:
                self._begins.setdefault((event.line, event.turn, syllable.verse), event.onset)

    def at(self, event: ScoreEvent, time: int) -> Verses:
        """What is sung at a note when its bar is played for that time."""
        sung = event.event.marks.sung
        if len(sung) > 1 and self._begins.get((event.line, event.turn, time), event.onset) > event.onset:
            return ()
        verse = max((syllable.verse for syllable in sung if syllable.verse <= time), default=0)
        return tuple(syllable for syllable in sung if syllable.verse == verse)


def _events(voice: tuple[ScoreEvent, ...], places: _Places, times: _Times) -> tuple[ScoreEvent, ...]:
    found: list[ScoreEvent] = []
    words = _Words(voice)
    for begin, end, shift in places:
        for event in voice:
            if begin <= event.onset < end:
                kept = event.up_to(end).event
                if kept.marks.sung:
                    sung = words.at(event, times.at(event.onset + shift))
                    kept = replace(kept, marks=replace(kept.marks, sung=sung))
                found.append(replace(event, onset=event.onset + shift, turn=event.turn + shift, event=kept))
    return tuple(found)
