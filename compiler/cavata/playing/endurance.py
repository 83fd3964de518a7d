"""What tires over time: named counts, each by itself and never one number, and the stretches that go on too long.

In: all that a player does in a movement. Out: figures for each bar and for the whole, and findings of the third degree.
None is a medical threshold: strain of hands and arms, lip, voice and hearing are cautions in plain words, and the
figures at which they are told are a choice of ours that a profile changes. Times are the clock's, played straight on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cavata.instruments.instrument import WINDS
from cavata.music.event import LASTING
from cavata.playing.finding import Degree, Finding, Kind, verb_of
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.record import record
from cavata.score.clock import time_in_words
from cavata.score.score import ScoreBar, bar_at

_MEMORY = "advice of players and teachers, from memory"
UNBROKEN = Kind("no rest", "", "how long a player plays without a rest of two seconds", _MEMORY)
FAST = Kind("fast notes", "", "how long fast notes go on for one player", _MEMORY)
TREMOLO = Kind("long tremolo", "", "how long a tremolo of repeated strokes goes on", _MEMORY)
LOUD = Kind("loud playing", "", "how long it goes on at ff or louder: lip, voice and hearing", _MEMORY)
KINDS = (UNBROKEN, FAST, TREMOLO, LOUD)

REST = 2.0
"""Seconds of silence that count as a rest."""
GAP = 0.5
"""Notes whose onsets lie no farther apart, in seconds, go on without a pause of the hand."""
LEAP = 12
"""Semitones, from which on a move from note to note is counted as a leap."""
BLOWN = 0.25
"""The share of what hands go on without a rest for which lips, lungs and a voice do: two minutes. From memory."""
LOUD_FROM = LASTING.index("ff")


# ---------------------------------------------------------------- counts


@record
class BarCounts:
    """What one bar asks of a player."""

    bar: ScoreBar
    notes: int
    """Moments at which something is struck."""
    seconds: float
    """How long the bar lasts."""
    high: float
    """Seconds above the upper quarter of the comfortable range."""
    leaps: int
    """Moves of an octave or more from one moment to the next, from the highest note to the highest."""
    changes: int
    """Mutes, pizzicato, bow, tongue and the like, and instruments, that are taken up."""

    @property
    def a_second(self) -> float:
        """Notes a second."""
        return self.notes / self.seconds if self.seconds else 0.0


@record
class Counts:
    """What one movement asks of a player."""

    bars: tuple[BarCounts, ...]
    """Those in which something is struck."""
    sounding: float
    """Seconds."""
    high: float
    """Seconds above the upper quarter of the comfortable range, where high notes strain; else 0."""
    fastest: float
    """Most notes in any second, over two seconds."""
    unbroken: float
    """The longest stretch without a rest of two seconds, in seconds."""
    leaps: int
    changes: int
    loud: float
    """Seconds at ff or louder."""


def counts(line: PlayerLine) -> Counts | None:
    """The counts of a line; None where nothing is played."""
    moments = line.moments
    if not moments:
        return None
    bars = tuple(_bars(line))
    quickest, _ = fastest(moments)
    longest = max(stretches(moments, REST), key=_length)
    lasting = [(moment, _sounds(moment, after)) for moment, after in _with_next(moments)]
    return Counts(
        bars, sum(seconds for _, seconds in lasting), sum(bar.high for bar in bars), quickest, _length(longest),
        sum(bar.leaps for bar in bars), sum(bar.changes for bar in bars),
        sum(seconds for moment, seconds in lasting if _is_loud(moment)),
    )  # fmt: skip


def _bars(line: PlayerLine) -> Iterator[BarCounts]:
    bars = line.movement.bars
    before: Moment | None = None
    for bar, group in groupby(_with_next(line.moments), key=lambda pair: bar_at(bars, pair[0].onset)):
        notes = leaps = changes = 0
        high = 0.0
        for moment, after in group:
            notes += 1
            changes += len(moment.state.new)
            if before is not None:
                leaps += moment.begins - before.ends < REST and _distance(before, moment) >= LEAP
                changes += before.state.instrument != moment.state.instrument
            high += _sounds(moment, after) if _is_high(moment) else 0
            before = moment
        seconds = line.timing.at(bar.onset + bar.duration) - line.timing.at(bar.onset)
        yield BarCounts(bar, notes, seconds, high, leaps, changes)


def _with_next(moments: Sequence[Moment]) -> Iterator[tuple[Moment, Moment | None]]:
    following: tuple[Moment | None, ...] = (*moments[1:], None)
    yield from zip(moments, following, strict=True)


def _sounds(moment: Moment, after: Moment | None) -> float:
    """Seconds until it stops, or until the next is struck."""
    return (moment.ends if after is None else min(moment.ends, after.begins)) - moment.begins


def _distance(before: Moment, after: Moment) -> int:
    return abs(before.top.midi - after.top.midi)


def _is_high(moment: Moment) -> bool:
    """Whether it lies in the upper quarter of the comfortable range, of those whom that strains."""
    instrument = moment.state.instrument
    if instrument.comfortable is None or instrument.family not in (*WINDS, "voice"):
        return False
    low, top = (pitch.midi for pitch in instrument.comfortable)
    return moment.top.midi > top - (top - low) / 4


def _is_loud(moment: Moment) -> bool:
    return moment.state.dynamic in LASTING[LOUD_FROM:]


def fastest(moments: Sequence[Moment]) -> tuple[float, Moment]:
    """Most moments a second, over any two seconds, and the first of those; there must be moments."""
    best, at, first = 0, moments[0], 0
    for last, moment in enumerate(moments):
        while moment.begins - moments[first].begins >= 2:
            first += 1
        if last - first + 1 > best:
            best, at = last - first + 1, moments[first]
    return best / 2, at


def stretches(moments: Iterable[Moment], rest: float) -> Iterator[list[Moment]]:
    """The moments, cut where nothing sounds for so many seconds."""
    run: list[Moment] = []
    ends = 0.0
    for moment in moments:
        if run and moment.begins - ends >= rest:
            yield run
            run = []
        run.append(moment)
        ends = max(ends, moment.ends)
    if run:
        yield run


def _length(run: Sequence[Moment]) -> float:
    return max(moment.ends for moment in run) - run[0].begins


# ---------------------------------------------------------------- what goes on too long


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """Nothing: what tires can be played."""
    return iter(())


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What goes on for longer than the profile has it; sections of strings divide their work no more than one player,
    but stagger their rests, so that they are not told of those."""
    verb, sung = f"{verb_of(line.instrument)}s", line.instrument.family == "voice"
    blown = sung or line.instrument.family in WINDS
    if line.players == 1:
        for run in stretches(line.moments, REST):
            if _length(run) > profile.unbroken * (BLOWN if blown else 1):
                yield _finding(
                    UNBROKEN, run, verb, "without a rest of two seconds",
                    "give rests in which the voice recovers" if sung
                    else "give a rest to breathe, to loosen the hands, and to turn the page",
                )  # fmt: skip
    yield from _rows(
        line, FAST, profile.fast_stretch,
        lambda moment, after: after is not None and after.begins - moment.begins <= 1 / profile.fast,
        f"{verb} fast notes",
        f"a caution for {'the voice' if sung else 'hands and arms'}: strain comes of long repetition",
        "let it rest in between, share it with a neighbor, or give every second bar to another part",
    )  # fmt: skip
    yield from _rows(
        line, TREMOLO, profile.tremolo_stretch, lambda moment, _: moment.state.tremolo is not None, "has a tremolo",
        "a caution for the arm", "let it pause, or let half of the players have it in turn",
    )  # fmt: skip
    if line.instrument.family in (*WINDS, "voice", "percussion"):
        yield from _rows(
            line, LOUD, profile.loud_stretch, lambda moment, _: _is_loud(moment), f"{verb} at ff or louder",
            "a caution for lip, voice and hearing, their own and their neighbors'",
            "let the dynamic fall in between, or share it; rehearse it more quietly",
        )  # fmt: skip


def _rows(
    line: PlayerLine, kind: Kind, longest: float, belongs: Callable[[Moment, Moment | None], bool], what: str, why: str,
    cure: str,
) -> Iterator[Finding]:
    """Stretches without a rest, all of whose moments belong to it, that go on for longer."""
    run: list[Moment] = []
    for moment, after in _with_next(line.moments):
        here = belongs(moment, after)
        if here:
            run.append(moment)
        if run and not (here and after is not None and after.begins - moment.ends < GAP):
            if _length(run) > longest:
                yield _finding(kind, run, what, why, cure)
            run = []


def _finding(kind: Kind, run: Sequence[Moment], what: str, why: str, cure: str) -> Finding:
    length = time_in_words(Fraction(round(_length(run))))
    return Finding(Degree.TIRING, kind, run[0].event, f"{what} for {length}", why, cure)
