"""Placing one movement: its sections in turn, then its parts.

The bars of a passage count from where it is placed, each as long as the meter is at the place where it begins; a
passage without a place counts as the section does.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import PlannedLine, PlannedMarking, PlannedMovement, PlannedSection
from cavata.music.mode import Mode
from cavata.names.movements import silenced
from cavata.place.bars import COUNTING, Ruler, bars_in_words, repeat_of, section_bars, section_ruler
from cavata.place.dealing import Dealt, deal
from cavata.place.lines import LaidLine, Stuck, goes_to_end, held_against_itself, lay, onset_of, size
from cavata.place.marking import joined, mark_over
from cavata.place.settings import Settings, TempoAt, TempoStretch, changed, movement_tempi, sorted_settings
from cavata.place.staves import StaffBuilder
from cavata.place.surely_not_meant import report_contradicted_keys, report_silent_bars, report_unseen_dynamics
from cavata.record import record, replace
from cavata.score.playing import playing_order
from cavata.score.score import Meter, Movement, Part, ScoreBar, Section, Staff, Tempo, bar_at
from cavata.score.whereabouts import Whereabouts
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import fraction_text

# ------------------------------------------------------------------ bars of a passage


class PassageRuler(Ruler):
    """Bars counted from a place inside another ruler; bar 1 begins there."""

    def __init__(self, outer: Ruler, begin: Fraction) -> None:
        super().__init__(outer.meters, outer.keys, Fraction(0))
        self.outer = outer
        self.begin = begin

    @property
    def is_free(self) -> bool:
        """Whether the section is in free time."""
        return self.outer.is_free

    def meter(self, bar: int) -> Meter | None:
        """The meter where a bar begins."""
        return self.outer.meter(self._outer_bar(bar))

    def key(self, bar: int) -> Mode | None:
        """The key where a bar begins."""
        return self.outer.key(self._outer_bar(bar))

    def _outer_bar(self, bar: int) -> int:
        return max(1, self.outer.bar_at(self.begin + self.onset(bar)))


def inside(ruler: Ruler, within: tuple[t.Within, ...]) -> tuple[Ruler, Fraction]:
    """The ruler of the innermost passage, and where it begins in the section; Stuck if a place is not there."""
    offset = Fraction(0)
    for passage in within:
        if passage.place is None:
            continue
        try:
            begin = onset_of(passage.place, ruler)
        except Refusal as refusal:
            raise Stuck(refusal, passage.place.span) from None
        ruler = PassageRuler(ruler, begin)
        offset += begin
    return ruler, offset


def moved(line: LaidLine, offset: Fraction) -> LaidLine:
    """The line, its onsets from the section's beginning."""
    if not offset:
        return line
    items = tuple(replace(item, onset=item.onset + offset) for item in line.items)
    return LaidLine(line.line, items, line.begin + offset, line.end + offset, line.over)


def bars_within(ruler: Ruler, length: Fraction) -> int:
    """How many bars of a ruler lie wholly within a length."""
    bars = ruler.whole_bars(length)
    return bars - 1 if ruler.onset(bars + 1) > length else bars


def placed_by(within: tuple[t.Within, ...]) -> tuple[tuple[Span, str], ...]:
    """The row that placed a passage, for a message about one of its lines."""
    return ((within[-1].span, "placed here"),) if within else ()


# ------------------------------------------------------------------ the movement


MOST_NOTES = 150_000
"""Notes and chords in one movement."""
MOST_IN_PIECE = 500_000
"""Notes, chords and rests that all lines of a piece lay out."""


@record
class Carried:
    """What goes on into the next movement: the tempo, and how much was laid out so far."""

    tempo: Tempo
    laid: int = 0


@record
class _Stretch:
    """A section as placed: its ruler, its onset in the movement, its length."""

    planned: PlannedSection
    settings: Settings
    ruler: Ruler
    onset: Fraction
    length: Fraction
    bars: int
    upbeat: Fraction
    """How much of it lies in the section before; onset and length count it in."""
    said: tuple[tuple[Fraction, Fraction], ...] = ()
    """From where to where its lines go, in the movement, their rests included."""


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
            onset = stretch.onset + stretch.length
        for stretch in self.stretches:
            for row in stretch.planned.rows:
                if isinstance(row, t.Marking):
                    self.mark(row, stretch)
        if self.staves.count > MOST_NOTES:
            return None
        staves: tuple[tuple[Staff, ...], ...] = ()
        if self.bars:
            where = Whereabouts(self.bars, [(section.called, section.span) for section in self.planned.sections])
            staves = self.staves.finished(self.bar_length, where.bars_of)
            self.staves.check_reach(where)
        if not whole:
            return None
        if not self.bag.has_errors:  # a line that is too long was reported with its own section
            self.staves.check_beyond(onset)
            self.report_surely_not_meant()
        tempi = self.tempi()
        playing = playing_order(self.bars)
        if self.staves.count * sum((end - begin for begin, end in playing), Fraction(0)) > MOST_IN_PIECE * onset:
            self.bag.error(
                "P116", self.planned.span, f"with its repeats a movement plays {MOST_IN_PIECE} notes at most",
                cure="repeat less often",
            )
        sections = tuple(
            Section(s.planned.called, s.planned.title, s.onset + s.upbeat, self.first_bar(i))
            for i, s in enumerate(self.stretches)
        )
        return Movement(
            self.planned.name.text,
            self.planned.title,
            self.planned.is_cadenza,
            self.settings.attacca or any(s.settings.attacca for s in self.stretches),
            onset,
            tuple(self.bars),
            sections,
            tempi,
            staves,
            self.planned.span,
            playing,
            joined(self.staves.changes),
        )

    def report_surely_not_meant(self) -> None:
        """Warn of bars in which nobody plays and of a key that no note is in."""
        keys = [(mode, span) for s in self.stretches for _, mode, span in s.settings.keys]
        keys += [(mode, span) for _, mode, span in self.settings.keys]
        pitched = [
            event for (part, _), events in self.staves.events.items()
            if not self.parts[part].instrument.unpitched for event in events
        ]  # fmt: skip
        report_contradicted_keys(self.bars, pitched, keys, self.bag)
        rows = (row.step.span for s in self.stretches for row in s.planned.rows if isinstance(row, t.Marking))
        report_unseen_dynamics((e for events in self.staves.events.values() for e in events), rows, self.bag)
        sounding = [(event.onset, event.end) for events in self.staves.events.values() for event in events]
        for number, stretch in enumerate(self.stretches):
            bars = [bar for bar in self.bars if bar.section == number]
            if stretch.bars and stretch.said and bars:
                name, planned = stretch.planned.called or self.planned.name.text, stretch.planned
                report_silent_bars(bars, stretch.said, sounding, name, planned.span, self.bag)

    def first_bar(self, section: int) -> int:
        """The index of a section's first bar."""
        return next((i for i, bar in enumerate(self.bars) if bar.section == section), 0)

    def report_misplaced(self) -> None:
        """A pickup belongs before the first bar of a movement."""
        for section in self.planned.sections[1:]:
            settings = sorted_settings(section.settings, Diagnostics())
            if settings.pickup_span is not None:
                self.bag.error(
                    "P122", settings.pickup_span, "a pickup stands only before a movement's first bar",
                    cure="let the entry begin in the last bar of the section before, with `over`",
                )

    # -------------------------------------------------------------- sections

    def section(self, planned: PlannedSection, number: int, onset: Fraction) -> _Stretch | None:
        """Place one section at its onset; None when its length cannot be known."""
        settings = sorted_settings(planned.settings, self.bag)
        pickup = planned.upbeat or (Fraction(0) if number else settings.pickup or self.settings.pickup)
        ruler = section_ruler(self.settings, settings, self.planned.is_cadenza, pickup, self.bag)
        upbeat = min(planned.upbeat or Fraction(0), ruler.pickup)
        if upbeat > onset:
            self.bag.error(
                "P306", planned.span, "there is no room for the upbeat that this section takes over",
                label=f"it lasts {upbeat}", cure="let a section of at least a bar stand before it",
            )
            return None
        onset -= upbeat
        try:
            laid = self.measure(planned, ruler)
        except Stuck as stuck:
            # What was given up before may be what would have filled the section.
            if stuck.refusal.code not in ("P115", "P125") or not self.bag.has_errors:
                self.report(stuck)
            return None
        lines, length, bars = laid
        said = tuple((onset + line.begin, onset + line.end) for line in lines)
        stretch = _Stretch(planned, settings, ruler, onset, length, bars, upbeat, said)
        last = number == len(self.planned.sections) - 1
        for line in sorted(lines, key=lambda line: line.line.replaces):
            fits, tacet = self.check_end(line, stretch, last), line.line.tacet
            if line.line.replaces:
                self.silence(line, onset)
            for dealt in deal(line, onset, self.parts, self.bag):
                # What is reported as too long is not reported again where it sounds into the next section.
                inside_it = fits or dealt.onset + dealt.event.duration <= onset + length
                if inside_it and not (tacet and silenced(dealt.part, dealt.staff, tacet)):
                    self.add(dealt)
        return stretch

    def silence(self, line: LaidLine, onset: Fraction) -> None:
        """Take away what the parts of a replacement have there while it lasts."""
        for target in line.line.parts:
            if not silenced(target.part, target.staff, line.line.tacet):
                self.staves.silence(target.part, target.staff, onset + line.begin, onset + line.end)

    def mark(self, marking: PlannedMarking, stretch: _Stretch) -> None:
        """Dress what sounds in bars of a section, or of a passage in it."""
        try:
            ruler, offset = inside(stretch.ruler, marking.within)
        except Stuck as stuck:
            self.report(stuck)
            return
        bars = stretch.bars if ruler is stretch.ruler or ruler.is_free else bars_within(ruler, stretch.length - offset)
        mark_over(marking, ruler, stretch.onset + offset, bars, self.staves, self.bag)

    def measure(self, planned: PlannedSection, ruler: Ruler) -> tuple[list[LaidLine], Fraction, int]:
        """All lines laid, the section's length, and its number of bars (0 in free time)."""
        rows = [row for row in planned.rows if isinstance(row, t.Line)]
        fixed = [line for line in rows if not goes_to_end(line)]
        if rows and not fixed and planned.bars is None and not ruler.is_free:
            raise Stuck(
                Refusal(
                    "P125", "nothing says how long this stretch is", "all its lines go `until end`",
                    f"give it a number of bars: `section {planned.called or 'one'} 8 bars`",
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
        if not rows and not self.bag.has_errors:
            name = planned.called or self.planned.name.text
            cure = "write `PART: ...` under it"
            self.bag.warning("P126", planned.span, f"`{name}` has no line", label="nobody plays", cure=cure)
        for line in rows:
            if goes_to_end(line):
                lines[id(line)] = self.laid(line, ruler, length)
        found = [lines[id(line)] for line in rows]
        return [line for line in found if line is not None], length, bars

    def laid(self, line: PlannedLine, ruler: Ruler, end: Fraction | None) -> LaidLine | None:
        """A line laid along the section; None when that was reported."""
        if self.carried.laid > MOST_IN_PIECE:
            return None
        try:
            inner, offset = inside(ruler, line.within)
            laid = moved(lay(line, inner, None if end is None else end - offset), offset)
        except Stuck as stuck:
            self.report(stuck, placed_by(line.within))
            return None
        for item in laid.items:
            said = held_against_itself(item.item)
            if said and item.value.duration > item.item.value.duration:
                self.bag.warning(
                    "P141", item.item.span, f"a `{said}` note is held here for {fraction_text(item.value.duration)}",
                    label=f"it lasts {fraction_text(item.item.value.duration)} itself",
                    cure="`for` and `x` strike it again and again",
                )  # fmt: skip
        total = self.carried.laid + sum(size(item.value) for item in laid.items)
        self.carried = replace(self.carried, laid=total)
        if total > MOST_IN_PIECE:
            self.bag.error(
                "P116", line.span, f"a piece holds {MOST_IN_PIECE} notes and rests at most",
                label="the compiler stops here",
                cure="repeat less often",
            )
        return laid

    def report(self, stuck: Stuck, also: tuple[tuple[Span, str], ...] = ()) -> None:
        """Say what could not be placed, and where."""
        refusal = stuck.refusal
        self.bag.error(refusal.code, stuck.span, refusal.message, label=refusal.label, cure=refusal.cure, also=also)

    def check_end(self, line: LaidLine, stretch: _Stretch, last: bool) -> bool:
        """Whether a line fits its section; a longer one is an error unless its last item sounds on into the next."""
        ruler = stretch.ruler
        if line.end <= stretch.length:
            return True
        item = line.items[-1] if line.items else None
        span = item.item.span if item and item.end > stretch.length else line.line.span
        name = stretch.planned.called or self.planned.name.text
        excess = fraction_text(line.end - stretch.length)
        room = bars_in_words(stretch.bars) if stretch.bars else "its length"
        if line.over and last:
            self.bag.error(
                "P109", span, "no section follows for this item to sound on into", label=f"longer by {excess}",
                cure="give the section more bars", also=placed_by(line.line.within),
            )
            return False
        if not line.over or (item is not None and item.onset >= stretch.length):
            into = "" if ruler.is_free else f"; it ends {ruler.end_in_words(line.end)}"
            self.bag.error(
                "P101", span, f"the line is too long for `{name}` by {excess}", label=f"`{name}` has {room}{into}",
                cure="give the section more bars, cut the line with `for`, or let the item sound on with `over`",
                also=placed_by(line.line.within),
            )
            return False
        return True

    def add(self, dealt: Dealt) -> None:
        """Hand an event to its staff; too many are reported once."""
        if self.staves.count >= MOST_NOTES:
            if self.staves.count == MOST_NOTES:
                self.bag.error(
                    "P116", dealt.laid.item.span, f"a movement holds {MOST_NOTES} notes at most",
                    cure="divide it into movements, or repeat less often",
                )
            self.staves.count += 1
            return
        self.staves.add(dealt)

    # -------------------------------------------------------------- bars and tempi

    def bar_length(self, onset: Fraction) -> Fraction:
        """The length of the bar in which a place lies; the last bar's beyond the end."""
        return bar_at(self.bars, onset).duration

    def add_bars(self, stretch: _Stretch, number: int) -> None:
        """The bars of a section; their printed numbers run on through the movement."""
        printed = next((bar.number for bar in reversed(self.bars)), 0)
        repeat = repeat_of(stretch.planned.repeats, stretch.bars, self.bag)
        self.bars += section_bars(
            stretch.ruler, stretch.onset, stretch.length, stretch.bars, number, printed, repeat,
            stretch.upbeat,
        )

    def tempi(self) -> tuple[Tempo, ...]:
        """Every metronome mark of the movement; what goes on unchanged is not printed again."""
        own = self.settings.tempi[0] if self.settings.tempi else None
        before = self.carried.tempo
        base = replace(before, words="") if own is None else changed(before, own)
        end = self.stretches[-1].onset + self.stretches[-1].length
        tempi, last = movement_tempi(base, own, map(self.tempi_in, self.stretches), end, self.bag)
        self.carried = replace(self.carried, tempo=last)
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
        return TempoStretch(stretch.onset + stretch.upbeat, head, tuple(sorted(placed, key=lambda at: at.onset)))

    def length_from(self, stretch: _Stretch, row: t.TempoRow, at: Fraction) -> Fraction | None:
        """How long a change of tempo takes; None when that was reported."""
        assert row.over is not None
        try:
            length = stretch.ruler.span(row.over, at)
        except Refusal as refusal:
            self.bag.error(refusal.code, row.span, refusal.message, label=refusal.label, cure=refusal.cure)
            return None
        excess = at + length - stretch.length
        if excess > 0:
            self.bag.error(
                "P403", row.span, "a change of tempo goes beyond its section",
                label=f"longer by {fraction_text(excess)}",
                cure="give it fewer bars, or the section more",
            )
            return None
        return length

    def onset_in(self, stretch: _Stretch, place: t.Place) -> Fraction | None:
        """Where a change of tempo lies in its section; None when that was reported."""
        try:
            onset = onset_of(place, stretch.ruler)
        except Refusal as refusal:
            self.bag.error(refusal.code, place.span, refusal.message, label=refusal.label, cure=refusal.cure)
            return None
        if onset >= stretch.length:
            if place.counted:
                label = f"it has {bars_in_words(stretch.bars)}"
                self.bag.error("P117", place.span, f"the section has no bar {place.bar}", label=label, cure=COUNTING)
            else:
                over = f"the section is over after {stretch.length}"
                self.bag.error("P117", place.span, over, cure="name an earlier place")
            return None
        return onset
