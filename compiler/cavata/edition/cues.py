"""Cues: what a player who has counted many bars of rest hears shortly before the entry.

In: the score, a movement of it, the places of a part, or of the instruments of one player, and the staves. Out: the
staves with cues, each a few whole bars of one line of another part that end where the bar of the entry begins; in free
time, where no bars are counted, the last notes of the leading line, or all if they are few, with its words. The line is
the one a player will know again: it can be heard, moves, has begun or begins with the cue, is a soloist's or of the
same family, and lies near. The same score gives the same cues. Source of when and how: common practice; the weights are
this project's own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.edition.cue_lines import CueLine, best_line, inside, lines_around, plain_notes
from cavata.music.lengths import is_plain
from cavata.record import replace
from cavata.score.clock import Clock
from cavata.score.score import Cue, Movement, Score, ScoreBar, Staff, events_of

LONG_WAIT_BARS = 8
"""After so many empty bars an entry has a cue."""
LONG_WAIT_SECONDS = 30
"""And after so long a silence by the clock, if the bars are fewer."""
CUE_BARS = (2, 3, 1)
"""How many bars a cue may have, the best first."""
FREE_WAIT_SECONDS = 5
"""In free time nothing is counted: after so long a silence there is a cue."""
FEW, LAST = 12, 8
"""In free time a line of so many notes is shown whole, of a longer one about so many of the last."""


def with_cues(
    score: Score, movement: Movement, places: Collection[int], staves: tuple[Staff, ...]
) -> tuple[Staff, ...]:
    """The staves of one player; cues stand on the first of them."""
    entries = tuple(_long_awaited(movement, staves))
    free = tuple(_free_silences(movement, staves))
    if not entries and not free:
        return staves
    lines = tuple(lines_around(score, movement, places))
    cues = [cue for waited, entry in entries if (cue := _cue(lines, staves, waited, entry)) is not None]
    cues += [cue for begin, end, bar in free if (cue := _free_cue(lines, begin, end, bar)) is not None]
    return (replace(staves[0], cues=tuple(sorted(cues, key=lambda cue: cue.onset))), *staves[1:])


def _long_awaited(movement: Movement, staves: Sequence[Staff]) -> Iterator[tuple[tuple[ScoreBar, ...], ScoreBar]]:
    """The empty bars before each entry that is long awaited, and the bar of the entry."""
    busy = _sounding(staves)
    clock = Clock(movement)
    waited: list[ScoreBar] = []
    place = 0
    sounding = Fraction(0)
    for bar in movement.bars:
        end = bar.end
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


def _sounding(staves: Sequence[Staff]) -> list[tuple[Fraction, Fraction]]:
    """From and to of each note of a player, in order."""
    return sorted((event.onset, event.end) for event in events_of(staves) if event.event.heads)


def _is_long(clock: Clock, waited: Sequence[ScoreBar]) -> bool:
    if len(waited) >= LONG_WAIT_BARS:
        return True
    begin, end = waited[0].onset, waited[-1].end
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
        for before, after in pairwise(row)
    )
    return joined and all(bar.meter is not None and bar.bar_in_section > 0 for bar in bars)


def _first_pitch(staves: Sequence[Staff], entry: ScoreBar) -> int | None:
    """The highest key of the first notes of an entry; None for unpitched ones or none."""
    inside = (event for event in events_of(staves) if entry.onset <= event.onset < entry.end)
    found = [(event.onset, -head.pitch.midi) for event in inside for head in event.event.heads]
    return -min(found)[1] if found else None


# ----------------------------------------------------------------
# Free time. Source: common practice: a player follows the one who leads, and reads the end of what that one plays or
# sings.


def _free_silences(movement: Movement, staves: Sequence[Staff]) -> Iterator[tuple[Fraction, Fraction, ScoreBar]]:
    """Each long silence of the player in a stretch of free time, if something is played after it."""
    free = [bar for bar in movement.bars if bar.meter is None and bar.duration]
    if not free:
        return
    busy = _sounding(staves)
    clock = Clock(movement)
    for bar in free:
        now, over = bar.onset, bar.end
        for onset, end in (*busy, (over, over)):
            until = min(onset, over)
            if until > now and busy[-1:] and busy[-1][0] >= until and clock.between(now, until) >= FREE_WAIT_SECONDS:
                yield now, until, bar
            now = max(now, end)


def _free_cue(lines: Sequence[CueLine], begin: Fraction, end: Fraction, bar: ScoreBar) -> Cue | None:
    """The end of the line that leads in a silence; None if none does, or a page cannot be divided there."""
    if not is_plain(end - bar.onset) and end != bar.end:
        return None
    found = [(line, inside(line, begin, end)) for line in lines]
    heard = [(line.liking + min(len(events), FEW), -place) for place, (line, events) in enumerate(found) if events]
    if not heard:
        return None
    line, events = found[-max(heard)[1]]
    place = 0 if len(events) <= FEW else len(events) - LAST
    while place and not is_plain(events[place].onset - bar.onset):
        place -= 1
    onset = events[place].onset if place else begin
    if not is_plain(onset - bar.onset):
        return None
    return Cue(onset, end, line.label, plain_notes(events[place:], words=True))
