"""Placing one movement: its sections in turn, then its parts."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from cavata.diagnostics.record import Diagnostics
from cavata.evaluate.plan import PlannedLine, PlannedMovement, PlannedSection
from cavata.music.refusal import Refusal
from cavata.place.dealing import Dealt, deal
from cavata.place.lines import LaidLine, Stuck, goes_to_end, lay, onset_of, size
from cavata.place.marking import mark_over
from cavata.place.ruler import COUNTING, Ruler, bars_in_words
from cavata.place.score import Movement, Part, ScoreBar, Section, Tempo
from cavata.place.settings import COMMON, Settings, sorted_settings
from cavata.place.staves import StaffBuilder
from cavata.place.tempi import Rate, TempoAt, movement_tempi
from cavata.place.tempi import Stretch as TempoStretch
from cavata.syntax import tree as t

_Row = TypeVar("_Row", bound=tuple[int, object])

MOST_NOTES = 150_000
"""Notes and chords in one movement."""
MOST_IN_PIECE = 500_000
"""Notes, chords and rests that all lines of a piece lay out."""


@dataclass(frozen=True, slots=True)
class Carried:
    """The tempo that goes on into the next movement, whether a script ever gave it, and how much was laid out."""

    beat: Fraction
    per_minute: Fraction
    given: bool
    laid: int = 0


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A section as placed: its ruler, its onset in the movement, its length."""

    planned: PlannedSection
    settings: Settings
    ruler: Ruler
    onset: Fraction
    length: Fraction
    bars: int


class MovementPlacer:
    """Places one movement."""

    def __init__(self, planned: PlannedMovement, parts: tuple[Part, ...], carried: Carried, bag: Diagnostics) -> None:
        self.planned = planned
        self.parts = {part.name: part for part in parts}
        self.carried = carried
        self.bag = bag
        self.settings = sorted_settings(planned.settings, bag)
        self.staves = StaffBuilder(parts, bag)
        self.stretches: list[_Stretch] = []
        self.bars: list[ScoreBar] = []

    def place(self) -> Movement | None:
        """The movement; None when a section could not be measured at all."""
        self.report_misplaced()
        onset = Fraction(0)
        whole = True
        for number, section in enumerate(self.planned.sections):
            stretch = self.section(section, number, onset)
            if stretch is None:
                whole = False
                continue
            self.stretches.append(stretch)
            self.add_bars(stretch, number)
            onset += stretch.length
        for stretch in self.stretches:
            for marking in stretch.planned.markings:
                mark_over(marking, stretch.ruler, stretch.onset, stretch.bars, self.staves, self.bag)
        if self.staves.count > MOST_NOTES:
            return None
        staves = self.staves.finished(self.bar_length) if self.bars else ()
        if not whole:
            return None
        if not self.bag.has_errors:  # a line that is too long was reported with its own section
            self.staves.check_beyond(onset)
        tempi = self.tempi()
        sections = tuple(
            Section(s.planned.name, s.planned.title, s.onset, self.first_bar(i)) for i, s in enumerate(self.stretches)
        )
        return Movement(
            self.planned.name,
            self.planned.title,
            self.planned.is_cadenza,
            self.settings.attacca or any(s.settings.attacca for s in self.stretches),
            onset,
            tuple(self.bars),
            sections,
            tempi,
            staves,
            self.planned.span,
        )

    def first_bar(self, section: int) -> int:
        """The index of a section's first bar."""
        return next((i for i, bar in enumerate(self.bars) if bar.section == section), 0)

    def report_misplaced(self) -> None:
        """A pick-up belongs before the first bar of a movement."""
        for section in self.planned.sections[1:]:
            settings = sorted_settings(section.settings, Diagnostics())
            if settings.pickup_span is not None:
                self.bag.error(
                    "P122", settings.pickup_span, "a pick-up stands only before a movement's first bar", "",
                    "let the entry begin in the last bar of the section before, with `over`",
                )

    # -------------------------------------------------------------- sections

    def section(self, planned: PlannedSection, number: int, onset: Fraction) -> _Stretch | None:
        """Place one section at its onset; None when its length cannot be known."""
        settings = sorted_settings(planned.settings, self.bag)
        ruler = self.ruler(settings, number)
        try:
            laid = self.measure(planned, ruler)
        except Stuck as stuck:
            refusal = stuck.refusal
            # What was given up before may be what would have filled the section.
            if refusal.code not in ("P115", "P125") or not self.bag.has_errors:
                self.bag.error(refusal.code, stuck.span, refusal.message, refusal.label, refusal.cure)
            return None
        lines, length, bars = laid
        stretch = _Stretch(planned, settings, ruler, onset, length, bars)
        last = number == len(self.planned.sections) - 1
        for line in lines:
            self.check_end(line, stretch, last)
            for dealt in deal(line, self.parts, self.bag):
                self.add(dealt, onset, line)
        return stretch

    def ruler(self, settings: Settings, number: int) -> Ruler:
        """The section's bars: its own rows over the movement's."""
        default_meter = None if self.planned.is_cadenza else COMMON
        above = self.settings
        meters = _over(
            (0, above.meters[0][1] if above.meters else default_meter), [(bar, m) for bar, m, _ in settings.meters]
        )
        keys = _over((0, above.keys[0][1] if above.keys else None), [(bar, k) for bar, k, _ in settings.keys])
        pickup = (settings.pickup or above.pickup) if number == 0 else Fraction(0)
        self.check_meters(settings, meters[0][1] is None)
        first = meters[0][1]
        # What was reported just now is left out, so that bars can be counted all the same.
        meters = meters[:1] if first is None else tuple(row for row in meters if row[1] is not None)
        if pickup and (first is None or pickup >= first.duration):
            span = settings.pickup_span or above.pickup_span
            self.bag.error(
                "P123", span, "a pick-up is shorter than a bar", f"the bar has {first}" if first else "free time has no bars",
                "write the whole bar out",
            )
            pickup = Fraction(0)
        return Ruler(meters, keys, pickup)

    def check_meters(self, settings: Settings, free: bool) -> None:
        """Free time begins and ends with a section; a change inside one is reported."""
        for bar, meter, span in settings.meters:
            if bar and (meter is None or free):
                self.bag.error(
                    "P124", span, "free time begins and ends with a section", "in the midst of one",
                    "give the free bars a section of their own",
                )

    def measure(self, planned: PlannedSection, ruler: Ruler) -> tuple[list[LaidLine], Fraction, int]:
        """All lines laid, the section's length, and its number of bars (0 in free time)."""
        fixed = [line for line in planned.lines if not goes_to_end(line)]
        if planned.lines and not fixed and planned.bars is None and not ruler.is_free:
            raise Stuck(
                Refusal(
                    "P125", "nothing says how long this stretch is", "all its lines go `until end`",
                    f"give it a number of bars: `section {planned.name or 'one'} 8 bars`",
                ),
                planned.span,
            )
        lines = {id(line): self.laid(line, ruler, None) for line in fixed}
        needed = max((line.needs for line in lines.values() if line), default=Fraction(0))
        if ruler.is_free:
            if planned.bars is not None:
                raise Stuck(
                    Refusal("P110", "free time has no bars", "bars are counted here", "leave the number out"),
                    planned.span,
                )
            length, bars = needed, 0
        else:
            try:
                bars = planned.bars if planned.bars is not None else max(1, ruler.whole_bars(needed))
                length = ruler.onset(bars + 1)
            except Refusal as refusal:
                raise Stuck(refusal, planned.span) from None
        if length <= 0:
            raise Stuck(
                Refusal(
                    "P115", "this stretch of free time holds nothing", "its length is nothing",
                    "give it a line that does not go `until end`",
                ),
                planned.span,
            )
        if not planned.lines and not self.bag.has_errors:
            name = planned.name or self.planned.name
            self.bag.warning("P126", planned.span, f"`{name}` has no line", "nobody plays", "write `PART: ...` under it")
        for line in planned.lines:
            if goes_to_end(line):
                lines[id(line)] = self.laid(line, ruler, length)
        found = [lines[id(line)] for line in planned.lines]
        return [line for line in found if line is not None], length, bars

    def laid(self, line: PlannedLine, ruler: Ruler, end: Fraction | None) -> LaidLine | None:
        """A line laid along the section; None when that was reported."""
        if self.carried.laid > MOST_IN_PIECE:
            return None
        try:
            laid = lay(line, ruler, end)
        except Stuck as stuck:
            refusal = stuck.refusal
            self.bag.error(refusal.code, stuck.span, refusal.message, refusal.label, refusal.cure)
            return None
        total = self.carried.laid + sum(size(item.value) for item in laid.items)
        self.carried = replace(self.carried, laid=total)
        if total > MOST_IN_PIECE:
            self.bag.error(
                "P116", line.span, f"a piece holds {MOST_IN_PIECE} notes and rests at most", "here it is given up",
                "repeat less often",
            )
        return laid

    def check_end(self, line: LaidLine, stretch: _Stretch, last: bool) -> None:
        """A line longer than its section is an error unless its last item sounds on into the next."""
        ruler = stretch.ruler
        if line.end <= stretch.length:
            return
        item = line.items[-1] if line.items else None
        span = item.item.span if item and item.end > stretch.length else line.line.span
        name = stretch.planned.name or self.planned.name
        excess = line.end - stretch.length
        room = bars_in_words(stretch.bars) if stretch.bars else "its length"
        if line.over and last:
            self.bag.error(
                "P109", span, "no section follows for this item to sound on into", f"longer by {excess}",
                "give the section more bars",
            )
        elif not line.over or (item is not None and item.onset >= stretch.length):
            into = "" if ruler.is_free else f"; it ends {ruler.end_in_words(line.end)}"
            self.bag.error(
                "P101", span, f"the line is too long for `{name}` by {excess}", f"`{name}` has {room}{into}",
                "give the section more bars, cut the line with `for`, or let the item sound on with `over`",
            )

    def add(self, dealt: Dealt, onset: Fraction, line: LaidLine) -> None:
        """Hand an event to its staff; too many are reported once."""
        if self.staves.count >= MOST_NOTES:
            if self.staves.count == MOST_NOTES:
                self.bag.error(
                    "P116", dealt.laid.item.span, f"a movement holds {MOST_NOTES} notes at most", "",
                    "divide it into movements, or repeat less often",
                )
            self.staves.count += 1
            return
        self.staves.add(dealt, onset)

    # -------------------------------------------------------------- bars and tempi

    def bar_length(self, onset: Fraction) -> Fraction:
        """The length of the bar in which a place lies; the last bar's beyond the end."""
        index = bisect_right(self.bars, onset, key=lambda bar: bar.onset)
        return self.bars[max(0, index - 1)].duration

    def add_bars(self, stretch: _Stretch, number: int) -> None:
        """The bars of a section; their printed numbers run on through the movement."""
        ruler, onset = stretch.ruler, stretch.onset
        printed = next((bar.number for bar in reversed(self.bars)), 0)
        if ruler.is_free:
            self.bars.append(
                ScoreBar(printed + 1, onset, stretch.length, None, ruler.key(1), number, 1)
            )
            return
        if ruler.pickup:
            self.bars.append(
                ScoreBar(0, onset, ruler.pickup, ruler.meter(1), ruler.key(1), number, 0)
            )
        for bar in range(1, stretch.bars + 1):
            self.bars.append(
                ScoreBar(
                    printed + bar, onset + ruler.onset(bar), ruler.length(bar), ruler.meter(bar), ruler.key(bar),
                    number, bar,
                )
            )

    def tempi(self) -> tuple[Tempo, ...]:
        """Every metronome mark of the movement; what goes on unchanged is not printed again."""
        own = self.settings.tempi[0] if self.settings.tempi else None
        beat, rate = self.carried.beat, self.carried.per_minute
        if own is not None and own.beat is not None and own.per_minute is not None:
            beat, rate = own.beat, own.per_minute
        base = Rate(beat, rate, own.words if own else "")
        end = self.stretches[-1].onset + self.stretches[-1].length
        tempi, last = movement_tempi(base, own, map(self.tempi_in, self.stretches), end, self.bag)
        self.carried = Carried(last.beat, last.per_minute, True, self.carried.laid)
        return tempi

    def tempi_in(self, stretch: _Stretch) -> TempoStretch:
        """What a section says of tempo; a row whose place is not there was reported and is left out."""
        head: t.TempoRow | None = None
        placed: list[TempoAt] = []
        for row in stretch.settings.tempi:
            if row.place is None:
                head = row
                continue
            at = self.onset_in(stretch, row.place)
            length = None if at is None or row.over is None else self.length_from(stretch, row, at)
            if at is not None and (row.over is None or length is not None):
                onset = stretch.onset + at
                placed.append(TempoAt(onset, row, None if length is None else onset + length))
        return TempoStretch(stretch.onset, head, tuple(sorted(placed, key=lambda at: at.onset)))

    def length_from(self, stretch: _Stretch, row: t.TempoRow, at: Fraction) -> Fraction | None:
        """How long a change of tempo takes; None when that was reported."""
        assert row.over is not None
        try:
            length = stretch.ruler.span(row.over, at)
        except Refusal as refusal:
            self.bag.error(refusal.code, row.span, refusal.message, refusal.label, refusal.cure)
            return None
        excess = at + length - stretch.length
        if excess > 0:
            self.bag.error(
                "P403", row.span, "a change of tempo goes beyond its section", f"longer by {excess}",
                "give it fewer bars, or the section more",
            )
            return None
        return length

    def onset_in(self, stretch: _Stretch, place: t.Place) -> Fraction | None:
        """Where a change of tempo lies in its section; None when that was reported."""
        try:
            onset = onset_of(place, stretch.ruler)
        except Refusal as refusal:
            self.bag.error(refusal.code, place.span, refusal.message, refusal.label, refusal.cure)
            return None
        if onset >= stretch.length:
            if place.counted:
                label = f"it has {bars_in_words(stretch.bars)}"
                self.bag.error("P117", place.span, f"the section has no bar {place.bar}", label, COUNTING)
            else:
                self.bag.error("P117", place.span, f"the section is over after {stretch.length}", "", "name an earlier place")
            return None
        return onset


def _over(base: _Row, rows: list[_Row]) -> tuple[_Row, ...]:
    """A section's rows over the movement's one."""
    return tuple(rows) if rows and rows[0][0] == 0 else (base, *rows)
