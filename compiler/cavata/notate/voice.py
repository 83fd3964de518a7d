"""A voice cut at the bar lines.

In: a voice's events and the written spans in ticks. Out: for each span the lengths of its sounds and silences and the
event of each. What sounds over a bar line stands in both bars; neighboring silences are one.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import chain
from math import lcm

from cavata.music.event import UNMARKED, UNMEASURED, Marks
from cavata.notate.frames import WrittenSpan
from cavata.notate.written import flags
from cavata.record import record, replace
from cavata.score.score import Movement, ScoreEvent


@record
class BarPieces:
    """One bar of one voice before it is spelled."""

    lengths: tuple[int, ...]
    """Ticks of each sound; of each silence, below zero."""
    events: tuple[int, ...]
    """For each piece the index of its event in the voice, -1 for a silence."""
    tied_in: bool
    """The first piece goes on from the bar before."""
    tied_out: bool
    """The last piece goes on into the next bar."""


SILENT = BarPieces((), (), False, False)


@record
class Ticks:
    """Written spans in whole ticks."""

    whole: int
    """Ticks of a whole note."""
    spans: tuple[tuple[int, int, int, int], ...]
    """Onset, end, lead and tail of each span."""

    @classmethod
    def of(cls, whole: int, spans: Sequence[WrittenSpan]) -> Ticks:
        """The spans in ticks; the whole note must have enough of them."""

        def ticks(length: Fraction) -> int:
            return length.numerator * (whole // length.denominator)

        return cls(whole, tuple((ticks(s.onset), ticks(s.end), ticks(s.lead), ticks(s.tail)) for s in spans))


def whole_of(movement: Movement, spans: Sequence[WrittenSpan]) -> int:
    """Ticks of a whole note that make every onset and duration of the movement a whole number."""
    places = (length for span in spans for length in (span.onset, span.end, span.lead, span.tail))
    cues = (event for part in movement.staves for staff in part for cue in staff.cues for event in cue.events)
    lengths = chain(places, *((event.onset, event.event.duration) for event in cues))
    return lcm(movement.divisions, *{length.denominator for length in lengths})


def bar_pieces(voice: Sequence[ScoreEvent], time: Ticks) -> list[BarPieces]:
    """Cut a voice into the bars of a movement."""
    cutter = _Cutter(time.spans)
    whole = time.whole
    for index, score_event in enumerate(voice):
        event = score_event.event
        if event.heads:
            onset, duration = score_event.onset, event.duration
            start = onset.numerator * (whole // onset.denominator)
            cutter.sound(index, start, start + duration.numerator * (whole // duration.denominator))
    return cutter.finished()


class _Cutter:
    def __init__(self, spans: Sequence[tuple[int, int, int, int]]) -> None:
        self._spans = spans
        self._bars: list[BarPieces] = []
        self._lengths: list[int] = []
        self._events: list[int] = []
        self._tied_in = False
        self._open(0)

    def _open(self, bar: int) -> None:
        self._lengths, self._events = [], []
        if bar < len(self._spans):
            self._place, self._end, lead, self._tail = self._spans[bar]
            self._silence = lead

    def _close(self, tied_out: bool) -> None:
        self._silence += self._end - self._place + self._tail
        if self._events and self._silence:
            self._rest()
        bar = BarPieces(tuple(self._lengths), tuple(self._events), self._tied_in, tied_out) if self._events else SILENT
        self._bars.append(bar)
        self._tied_in = tied_out
        self._open(len(self._bars))

    def _rest(self) -> None:
        self._lengths.append(-self._silence)
        self._events.append(-1)
        self._silence = 0

    def sound(self, index: int, start: int, end: int) -> None:
        """Lay an event along the bars, cut at each bar line; what is before it rests."""
        while start >= self._end and len(self._bars) < len(self._spans):
            self._close(False)
        while len(self._bars) < len(self._spans):
            if start > self._place or self._silence:
                self._silence += start - self._place
                self._rest()
            until = min(end, self._end)
            self._lengths.append(until - start)
            self._events.append(index)
            self._place = start = until
            if end <= self._end:
                return
            self._close(True)

    def finished(self) -> list[BarPieces]:
        """The pieces of every bar, when all has been laid along them."""
        while len(self._bars) < len(self._spans):
            self._close(False)
        return self._bars


# ----------------------------------------------------------------
# What a tremolo draws, slurs that would join a note to itself, and hairpins on one note.


def tremolo_strokes(base: Fraction, marks: Marks) -> int:
    """The strokes that a tremolo draws through the stem of such a note value, its own flags not counted.

    Three are the sign of one that is not measured, fewer where the note has flags itself. Source: common practice.
    """
    for ornament in marks.ornaments:
        if ornament.kind == "tremolo":
            return max(0, flags(ornament.unit or UNMEASURED) - flags(base))
    return 0


class OpenLines:
    """Follows a voice to tell a slur over a single note, which is dropped, from one slur meeting the next.

    And a hairpin on one note from one that ends where the next begins.
    """

    def __init__(self) -> None:
        self._open = False
        self._hairpin = False
        self.hairpin_alone = False
        """Whether one begins and ends on the event that was settled last."""

    def settled(self, marks: Marks) -> Marks:
        """The marks of the voice's next event without a slur that would join the note to itself."""
        self.hairpin_alone = False
        if marks is UNMARKED or not marks:
            return UNMARKED
        begins, ends = bool(marks.hairpin), marks.hairpin_ends
        self.hairpin_alone = begins and ends and (bool(marks.goal) or not self._hairpin)
        self._hairpin = (begins and not self.hairpin_alone) or (self._hairpin and not ends)
        if marks.slur_begins and marks.slur_ends and not self._open:
            return replace(marks, slur_begins=False, slur_ends=False)
        self._open = marks.slur_begins or (self._open and not marks.slur_ends)
        return marks
