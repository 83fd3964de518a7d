"""How long sections, movements and the piece take, and how much of that is an estimate.

In: a score. Out: exact lengths. Tempi, their changes and repeats are given by the script, and so is the time they make.
An estimate is whatever a player decides: free time, what a fermata adds, and music for which no tempo is given yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from cavata.record import record
from cavata.score.clock import (
    Clock,
    ClockStretch,
    clock_text,
    length_verdict,
    lengths_in_words,
    paces,
    played_stretches,
    starts,
    time_in_words,
)
from cavata.score.playing import Stretches
from cavata.score.score import Movement, Score, Tempo, bar_at
from cavata.text import so_many, text_table

FREE_TIME, FERMATAS, NO_TEMPO = "free time", "fermatas", "no tempo given"
REASONS = (FREE_TIME, FERMATAS, NO_TEMPO)
"""Why time is an estimate; time that is so for two of these reasons counts for the first."""


@record
class TimeTaken:
    """How long something takes, in seconds."""

    seconds: Fraction
    estimated: tuple[tuple[str, Fraction], ...] = ()
    """Of that, what is an estimate, by reason, in the order of REASONS; each more than nothing."""

    @property
    def uncertain(self) -> Fraction:
        """All that is an estimate."""
        return sum((seconds for _, seconds in self.estimated), Fraction(0))

    @property
    def is_given(self) -> bool:
        """Whether the script gives all of it."""
        return not self.estimated

    def __add__(self, other: TimeTaken) -> TimeTaken:
        both = {**dict(self.estimated)}
        for reason, seconds in other.estimated:
            both[reason] = both.get(reason, Fraction(0)) + seconds
        return TimeTaken(self.seconds + other.seconds, tuple((r, both[r]) for r in REASONS if r in both))


@record
class SectionTiming:
    """One section."""

    name: str
    title: str
    first_bar: int
    """As printed; 0 for a pickup."""
    last_bar: int
    free: bool
    """It has no bars, being in free time."""
    begins: Fraction
    """Seconds from the beginning of the piece, where it is first heard."""
    taken: TimeTaken


@record
class MovementTiming:
    """One movement or cadenza."""

    name: str
    title: str
    begins: Fraction
    taken: TimeTaken
    sections: tuple[SectionTiming, ...]
    """Empty where the movement has none."""
    signs: int
    """Fermatas that say no length and so add nothing."""


@record
class Timings:
    """The piece."""

    title: str
    taken: TimeTaken
    movements: tuple[MovementTiming, ...]
    shortest: Fraction | None
    longest: Fraction | None
    """Asked for, in seconds; the same where one length was asked for, None where none was."""

    @property
    def verdict(self) -> str:
        """`within`, `too short` or `too long`; empty where nothing was asked for."""
        if self.shortest is None or self.longest is None:
            return ""
        return length_verdict(self.taken.seconds, self.shortest, self.longest)


def timings(score: Score) -> Timings:
    """The lengths of a piece."""
    clocks = tuple(Clock(movement) for movement in score.movements)
    given = False
    movements: list[MovementTiming] = []
    for movement, clock, begins in zip(score.movements, clocks, starts(clocks), strict=True):
        movements.append(_movement(movement, clock, begins, given))
        given = given or any(map(_gives, movement.tempi))
    taken = sum((movement.taken for movement in movements), TimeTaken(Fraction(0)))
    header = score.header
    longest = header.longest if header.longest is not None else header.shortest
    return Timings(
        header.title, taken, tuple(movements), _seconds(header.shortest), _seconds(longest),
    )  # fmt: skip


def _seconds(minutes: Fraction | None) -> Fraction | None:
    return None if minutes is None else minutes * 60


def _gives(tempo: Tempo) -> bool:
    """Whether a row of the script says how fast it goes, and not only words."""
    return tempo.until is not None or (tempo.printed and tempo.metronome)


def _movement(movement: Movement, clock: Clock, begins: Fraction, given: bool) -> MovementTiming:
    pieces = tuple(_pieces(movement, given))
    sections = tuple(
        _section(movement, number, played, clock, begins, pieces)
        for number, played in enumerate(_played(movement)) if movement.sections[number].name
    )  # fmt: skip
    taken = _taken(played_stretches(movement), clock, pieces)
    return MovementTiming(movement.name, movement.title, begins, taken, sections, _signs(movement))


def _section(
    movement: Movement, number: int, played: Stretches, clock: Clock, begins: Fraction, pieces: tuple[_Piece, ...]
) -> SectionTiming:
    section = movement.sections[number]
    bars = [bar for bar in movement.bars if bar.section == number]
    return SectionTiming(
        section.name, section.title, bars[0].number if bars else 0, bars[-1].number if bars else 0,
        bool(bars) and bars[0].meter is None, begins + clock.first(section.onset),
        _taken(played, clock, pieces),
    )  # fmt: skip


def _played(movement: Movement) -> list[Stretches]:
    """What is played of each section, from and to: where it begins with an upbeat and is played again, the upbeat is
    its own, not that of the section in whose last bar it stands.
    """
    onsets = [section.onset for section in movement.sections]
    ends = [*onsets[1:], movement.duration]
    found: list[list[tuple[Fraction, Fraction]]] = [[] for _ in onsets]
    for begin, until in played_stretches(movement):
        led = _led_into(movement, begin)
        for number, (onset, end) in enumerate(zip(onsets, ends, strict=True)):
            first = begin if number == led else max(onset, begin)
            if first < min(end, until) and (led is None or number >= led):
                found[number].append((first, min(end, until)))
    return [tuple(played) for played in found]


def _led_into(movement: Movement, begin: Fraction) -> int | None:
    """The section whose upbeat the playing goes back to; None where it goes elsewhere."""
    bar = bar_at(movement.bars, begin)
    following = bar.section + 1
    if not bar.before or following == len(movement.sections):
        return None
    return following if movement.sections[following].onset == bar.end else None


def _signs(movement: Movement) -> int:
    """Moments with the sign of a fermata that says no length, however many parts have it."""
    return len({
        event.end for event in movement.events
        if "fermata" in event.event.marks.articulations and not event.event.marks.held
    })  # fmt: skip


# ------------------------------------------------------------------ what is an estimate


@record
class _Piece:
    """A pace, why it is an estimate, and how many times as long a fermata makes it."""

    pace: ClockStretch
    reason: str
    stretched: Fraction

    def uncertain(self, onset: Fraction, end: Fraction) -> Fraction:
        """Seconds of estimate in the part of it between two places."""
        begin, until = max(onset, self.pace.onset), min(end, self.pace.end)
        if begin >= until or not self.reason:
            return Fraction(0)
        seconds = self.pace.part(begin, until).seconds
        return seconds * (1 - 1 / self.stretched) if self.reason == FERMATAS else seconds


def _pieces(movement: Movement, given: bool) -> Iterator[_Piece]:
    """The paces of a movement, cut at its bars."""
    first = next((tempo.onset for tempo in movement.tempi if _gives(tempo)), movement.duration)
    for pace in paces(movement):
        steady = _steady(movement, pace)
        for bar in movement.bars:
            begin, end = max(bar.onset, pace.onset), min(bar.end, pace.end)
            if begin >= end:
                continue
            assumed = not given and begin < first
            reason = FREE_TIME if bar.meter is None else NO_TEMPO if assumed else FERMATAS if pace.held else ""
            yield _Piece(pace.part(begin, end), reason, pace.first / steady)


def _steady(movement: Movement, pace: ClockStretch) -> Fraction:
    """How long a whole note would last where a pace begins, were there no fermata."""
    return next(t for t in reversed(movement.tempi) if t.onset <= pace.onset).seconds_at(pace.onset)


def _taken(played: Stretches, clock: Clock, pieces: tuple[_Piece, ...]) -> TimeTaken:
    uncertain = dict.fromkeys(REASONS, Fraction(0))
    for begin, until in played:
        for piece in pieces:
            if piece.reason:
                uncertain[piece.reason] += piece.uncertain(begin, until)
    seconds = sum((clock.between(begin, until) for begin, until in played), Fraction(0))
    return TimeTaken(seconds, tuple((r, s) for r, s in uncertain.items() if s))


# ----------------------------------------------------------------
# Timings as a table for the terminal and as one JSON document. Times are exact until they are printed.


GIVEN = "given"
RULES = (
    "Tempi, their changes and repeats are counted exactly; pauses between movements are not counted.",
    "Free time is counted as if its tempo were strict, and a fermata as the time its row says: both are estimates.",
    "A fermata without a time, as `fermata last`, makes the last quarter of its note, at most, twice as long.",
    "Without a tempo a quarter is taken at 60.",
    "Whatever is an estimate the players decide; take these lengths as a guide.",
)


def timings_text(found: Timings) -> str:
    """Movements and sections with where they begin and what they take; then what was asked for, and the rules."""
    rows = [row for movement in found.movements for row in _rows(movement)]
    rows.append(("total", "", "", clock_text(found.taken.seconds), _how(found.taken)))
    table = text_table(("", "bars", "begins", "length", "basis"), rows, frozenset({2, 3}))
    lines = [found.title, "", table]
    verdict = _verdict(found)
    return "\n".join([*lines, *([verdict, ""] if verdict else []), *RULES]) + "\n"


def _rows(movement: MovementTiming) -> Iterator[tuple[str, str, str, str, str]]:
    how = _how(movement.taken)
    if movement.signs:
        how += f"; {so_many(movement.signs, 'fermata')} without a time"
    name = movement.title or movement.name
    yield name, "", clock_text(movement.begins), clock_text(movement.taken.seconds), how
    for section in movement.sections:
        yield (
            f"  {section.name}", bars_text(section), clock_text(section.begins),
            clock_text(section.taken.seconds), _how(section.taken),
        )  # fmt: skip


def bars_text(section: SectionTiming) -> str:
    """`1-16`, or that there are none."""
    if section.free:
        return "free"
    first, last = section.first_bar, section.last_bar
    return str(first) if first == last else f"{first}-{last}"


def _how(taken: TimeTaken) -> str:
    if taken.is_given:
        return GIVEN
    reasons = ", ".join(f"{reason} {seconds_text(seconds)}" for reason, seconds in taken.estimated)
    return f"estimated: {reasons}"


def seconds_text(seconds: Fraction) -> str:
    """`12 s`, or a tenth where it is less than ten."""
    return f"{round(seconds)} s" if seconds >= 10 else f"{float(seconds):.1f} s"


def _verdict(found: Timings) -> str:
    if found.shortest is None or found.longest is None:
        return ""
    asked = lengths_in_words(found.shortest, found.longest)
    return f"Asked for: {asked}. The piece takes {time_in_words(found.taken.seconds)}: {found.verdict}."


# ------------------------------------------------------------------ as a document


def timings_json(found: Timings) -> dict[str, Any]:
    """Every length in seconds, as a number and as an exact fraction."""
    return {
        "title": found.title,
        **_taken_json(found.taken),
        "asked": None if found.shortest is None or found.longest is None else {
            "shortest_seconds": float(found.shortest), "longest_seconds": float(found.longest),
            "verdict": found.verdict,
        },
        "movements": [
            {
                "name": movement.name, "title": movement.title, "begins_seconds": float(movement.begins),
                **_taken_json(movement.taken), "fermatas_without_a_time": movement.signs,
                "sections": [
                    {
                        "name": section.name, "title": section.title, "free_time": section.free,
                        "first_bar": None if section.free else section.first_bar,
                        "last_bar": None if section.free else section.last_bar,
                        "begins_seconds": float(section.begins), **_taken_json(section.taken),
                    }
                    for section in movement.sections
                ],
            }
            for movement in found.movements
        ],
    }  # fmt: skip


def _taken_json(taken: TimeTaken) -> dict[str, Any]:
    return {
        "seconds": float(taken.seconds),
        "exact_seconds": str(taken.seconds),
        "given": taken.is_given,
        "estimated_seconds": {reason: float(seconds) for reason, seconds in taken.estimated},
    }
