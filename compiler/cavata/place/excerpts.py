"""Bars of a section that stand in another one: what begins in them sounds, and what goes on beyond them is cut.

In: a section laid along its own bars. Out: its events and markings, moved to where the bars stand.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import groupby

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import PlannedMarking, PlannedRow
from cavata.music.event import Event, Marks
from cavata.names.taken_over import silenced
from cavata.place.bars import Ruler
from cavata.place.dealing import Dealt, deal, on_ossia
from cavata.place.following import doubled_line
from cavata.place.lines import LaidLine, Stuck
from cavata.place.marking import mark_over
from cavata.place.passages import bars_within, inside
from cavata.place.repeat_signs import up_to
from cavata.place.staves import StaffBuilder
from cavata.record import record, replace
from cavata.score.score import Part
from cavata.syntax import tree as t
from cavata.transforms.order import closed


def _under_slur(events: Iterable[Event]) -> bool:
    """Whether a slur that began among them goes on after them."""
    open_ = False
    for event in events:
        open_ = event.marks.slur_begins or (open_ and not event.marks.slur_ends)
    return open_


@record
class PlacedExcerpt:
    """Some bars of a section, laid; all places count from the beginning of the section that they stand in."""

    rows: tuple[PlannedRow, ...]
    ruler: Ruler
    """The other section's."""
    lines: tuple[LaidLine, ...]
    """Of the whole other section, from its beginning."""
    inner: tuple[PlacedExcerpt, ...]
    bars: int
    """Of the other section."""
    length: Fraction
    shift: Fraction
    """Where the other section would begin."""
    begin: Fraction
    end: Fraction

    def within(self, at: Fraction, lowest: Fraction, highest: Fraction) -> PlacedExcerpt:
        """The excerpt where it stands in a section at a place, and of it only what lies between two others."""
        begin, end = max(at + self.begin, lowest), min(at + self.end, highest)
        return replace(self, shift=at + self.shift, begin=begin, end=max(begin, end))

    @property
    def said(self) -> Iterator[tuple[Fraction, Fraction]]:
        """From where to where its lines go, their rests included."""
        for line in self.lines:
            begin, end = self._cut_out(line)
            if begin < end:
                yield begin, end
        for excerpt in self.deeper:
            yield from excerpt.said

    def _cut_out(self, line: LaidLine) -> tuple[Fraction, Fraction]:
        """From where to where a line lies in its bars; the end is no later where it does not."""
        return max(self.begin, self.shift + line.begin), min(self.end, self.shift + line.end)

    @property
    def deeper(self) -> Iterator[PlacedExcerpt]:
        """The excerpts that stand in it."""
        return (excerpt.within(self.shift, self.begin, self.end) for excerpt in self.inner)

    def dealt(self, parts: dict[str, Part], staves: StaffBuilder, bag: Diagnostics) -> Iterator[Dealt]:
        """Its events; what a line replaces is silenced before."""
        for excerpt in self.deeper:
            yield from excerpt.dealt(parts, staves, bag)
        for line in sorted(self.lines, key=lambda line: line.line.replaces):
            tacet = line.line.tacet
            if line.line.replaces:
                begin, end = self._cut_out(line)
                for target in line.line.parts:
                    if begin < end and not silenced(target.part, target.staff, tacet):
                        staves.silence(target.part, target.staff, begin, end)
            for dealt in self._cut(on_ossia(deal(line, self.shift, parts, bag), line)):
                if not silenced(dealt.part, dealt.staff, tacet):
                    yield up_to(dealt, self.end)

    def _cut(self, line: Iterator[Dealt]) -> Iterator[Dealt]:
        """What begins in the bars; slurs and hairpins that go beyond them begin and end within them."""
        for _, shared in groupby(line, key=lambda dealt: (dealt.part, dealt.staff, dealt.voice)):
            whole = list(shared)
            kept = [dealt for dealt in whole if self.begin <= dealt.onset < self.end]
            events = [dealt.event for dealt in kept]
            if 0 < len(kept) < len(whole):
                if _under_slur(dealt.event for dealt in whole if dealt.onset < self.begin):
                    events[0] = events[0].marked(Marks(slur_begins=not events[0].marks.slur_ends))
                events = list(closed(events))
            for dealt, event in zip(kept, events, strict=True):
                yield dealt if event is dealt.event else replace(dealt, event=event)

    def mark(self, parts: dict[str, Part], staves: StaffBuilder, bag: Diagnostics) -> Iterator[Dealt]:
        """Mark its bars as its section does, row by row; what parts play that double others is given."""
        for excerpt in self.deeper:
            yield from excerpt.mark(parts, staves, bag)
        for row in self.rows:
            if isinstance(row, t.Marking):
                self._mark(row, staves, bag)
            elif isinstance(row, t.Doubling):
                line = doubled_line(row, self.ruler, self.shift, self.bars, self.length, staves, bag)
                for dealt in () if line is None else deal(line, self.shift, parts, bag):
                    if self.begin <= dealt.onset < self.end:
                        yield dealt

    def _mark(self, row: PlannedMarking, staves: StaffBuilder, bag: Diagnostics) -> None:
        try:
            ruler, offset = inside(self.ruler, row.within)
        except Stuck:
            return  # reported in the section itself
        bars = self.bars if ruler is self.ruler else bars_within(ruler, self.length - offset)
        onset, first, last = self.shift + offset, row.first, min(row.last, bars)
        while first <= last and onset + ruler.onset(first) < self.begin:
            first += 1
        while first <= last and onset + ruler.onset(last + 1) > self.end:
            last -= 1
        if first <= last:
            found = Diagnostics()
            mark_over(replace(row, first=first, last=last), ruler, onset, bars, staves, found)
            # Who rests in these bars may play in the others, or is told there.
            bag.report_all(message for message in found.collected if message.code != "P119")
