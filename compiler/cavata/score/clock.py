"""Clock time: when each place of a movement is heard, and how long it takes, repeats and fermatas counted.

In: a movement, whose paces are summed once, since a piece has thousands of notes and each has its time. Out: exact
seconds from its beginning. How long a fermata holds is an estimate, as any player's is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cavata.record import record
from cavata.score.score import Movement, Tempo

# ----------------------------------------------------------------
# How fast the score goes at every moment: tempi, their changes, and fermatas as stretches of clock time.
#
# In: a movement. Out: paces without gap from its beginning to its end, each with the seconds of a whole note where it
# begins and where it ends; between them that length changes evenly along the score. So a stretch of L whole notes takes
#
#     L x (seconds of a whole note at its beginning + at its end) / 2
#
# seconds, exactly: the sum of beats each of which is longer than the one before by the same amount. A fermata
# spreads what it adds over the end of its note: its last quarter, or all of a shorter note. One of which the script
# does not say how much it adds makes that end twice as long. Where several sound at once the longest counts, and of
# those that end together the ones with a length of their own.


HELD = Fraction(1, 4)
"""The end of a note over which a fermata spreads."""
UNSAID = 2
"""How many times as long that end is where the script does not say. A choice of ours: players decide."""


@record
class ClockStretch:
    """A stretch of the score in whole notes, and the seconds of a whole note at both its ends."""

    onset: Fraction
    end: Fraction
    first: Fraction
    last: Fraction
    held: bool = False
    """A fermata stretches it."""

    @property
    def seconds(self) -> Fraction:
        """How long it takes."""
        return (self.end - self.onset) * (self.first + self.last) / 2

    def part(self, onset: Fraction, end: Fraction) -> ClockStretch:
        """The part of it between two moments."""
        return ClockStretch(onset, end, self._at(onset), self._at(end), self.held)

    def _at(self, moment: Fraction) -> Fraction:
        if self.first == self.last:
            return self.first
        return self.first + (self.last - self.first) * (moment - self.onset) / (self.end - self.onset)


def paces(movement: Movement) -> tuple[ClockStretch, ...]:
    """The paces of a movement, from its beginning to its end."""
    stretched = tuple(_fermatas(movement))
    moments = {Fraction(0), movement.duration}
    moments.update(tempo.onset for tempo in movement.tempi)
    moments.update(moment for begin, end, _ in stretched for moment in (begin, end))
    ordered = sorted(moment for moment in moments if 0 <= moment <= movement.duration)
    onsets = [tempo.onset for tempo in movement.tempi]
    return tuple(
        _pace(movement.tempi[bisect_right(onsets, begin) - 1], begin, end, stretched)
        for begin, end in pairwise(ordered)
    )


def _pace(
    tempo: Tempo, begin: Fraction, end: Fraction, stretched: tuple[tuple[Fraction, Fraction, Fraction], ...]
) -> ClockStretch:
    factor = max((f for since, until, f in stretched if since <= begin and end <= until), default=Fraction(1))
    return ClockStretch(begin, end, tempo.seconds_at(begin) * factor, tempo.seconds_at(end) * factor, factor != 1)


def _fermatas(movement: Movement) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """From, to, and how many times as long the score takes there."""
    signed = [event for event in movement.events if "fermata" in event.event.marks.articulations]
    said = {event.end for event in signed if event.event.marks.held}
    for event in signed:
        length, more = min(event.event.duration, HELD), event.event.marks.held
        if more or event.end not in said:
            yield event.end - length, event.end, 1 + more / length if more else Fraction(UNSAID)


# ----------------------------------------------------------------

class Clock:
    """When each place of a movement is heard."""

    def __init__(self, movement: Movement) -> None:
        self._paces = paces(movement)
        self._onsets = [pace.onset for pace in self._paces]
        self._sums = [Fraction(0)]
        for pace in self._paces:
            self._sums.append(self._sums[-1] + pace.seconds)
        self._stretches = played_stretches(movement)
        self._reckoned: dict[Fraction, Fraction] = {}
        """Places with their seconds: the parts of a piece mostly move together."""
        self.length = sum((self.between(begin, end) for begin, end in self._stretches), Fraction(0))
        """Seconds that the movement takes."""

    def between(self, onset: Fraction, end: Fraction) -> Fraction:
        """Seconds from one place to a later one, played straight on."""
        return self._straight(end) - self._straight(onset)

    def heard(self, onset: Fraction, times: Collection[int] | None = None) -> tuple[Fraction, ...]:
        """Every time at which a place is heard: more than one where it is repeated. The end is heard last.

        `times`: of these stretches of the playing only, counted from 0.
        """
        found: list[Fraction] = []
        now = Fraction(0)
        for time, (begin, end) in enumerate(self._stretches):
            if begin <= onset < end and (times is None or time in times):
                found.append(now + self.between(begin, onset))
            now += self.between(begin, end)
        return tuple(found) or (self.length,)

    def first(self, onset: Fraction) -> Fraction:
        """When a place is first heard."""
        return self.heard(onset)[0]

    def _straight(self, onset: Fraction) -> Fraction:
        """Seconds from the first note of the score to a place, as if nothing were repeated."""
        if not self._paces:
            return Fraction(0)
        known = self._reckoned.get(onset)
        if known is None:
            index = max(0, bisect_right(self._onsets, onset) - 1)
            pace = self._paces[index]
            known = self._sums[index] + pace.part(pace.onset, min(onset, pace.end)).seconds
            self._reckoned[onset] = known
        return known


def played_stretches(movement: Movement) -> tuple[tuple[Fraction, Fraction], ...]:
    """From and to, in whole notes of the score, in the order in which they sound."""
    return movement.playing or ((Fraction(0), movement.duration),)


def length(movement: Movement) -> Fraction:
    """How many seconds a movement takes."""
    return Clock(movement).length


def starts(clocks: Sequence[Clock]) -> tuple[Fraction, ...]:
    """When each movement begins, in seconds from the beginning of the piece; pauses between them do not count."""
    found: list[Fraction] = []
    now = Fraction(0)
    for clock in clocks:
        found.append(now)
        now += clock.length
    return tuple(found)


def clock_text(seconds: Fraction) -> str:
    """`2:41`, to the nearest second; with hours where there are any."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def time_in_words(seconds: Fraction) -> str:
    """`2 min 41 s`, to the nearest second."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def lengths_in_words(least: Fraction, most: Fraction) -> str:
    """A length that is asked for, or from which to which, in seconds: `45 s to 2 min 0 s`."""
    return time_in_words(least) if least == most else f"{time_in_words(least)} to {time_in_words(most)}"


_MARGIN = 20
"""A length that was asked for as one number, and no range, may be missed by a twentieth."""


def length_verdict(seconds: Fraction, least: Fraction, most: Fraction) -> str:
    """How a length keeps what was asked for, all in seconds: `within`, `too short` or `too long`."""
    margin = least / _MARGIN if least == most else 0
    if seconds < least - margin:
        return "too short"
    return "too long" if seconds > most + margin else "within"
