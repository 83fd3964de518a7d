"""Placing one movement: its sections in turn, then its parts; then what its headings say goes over them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cavata.again import Itself
from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import (
    PlannedDoubling,
    PlannedExcerpt,
    PlannedLine,
    PlannedMarking,
    PlannedMovement,
    PlannedSection,
)
from cavata.names.taken_over import silenced
from cavata.place.bars import (
    COUNTING,
    Repeat,
    Ruler,
    Signs,
    cut_bars,
    no_bars,
    repeat_of,
    section_bars,
    section_ruler,
    with_upbeat,
)
from cavata.place.dealing import Dealt, deal, on_ossia, report_no_staff, score_event
from cavata.place.excerpts import PlacedExcerpt
from cavata.place.following import doubled_line
from cavata.place.form import PlacedSection, form_places
from cavata.place.kept import KeptMovement
from cavata.place.lines import LaidLine, Stuck, begin_of, goes_to_end, onset_of, size
from cavata.place.marking import joined_changes, mark_over
from cavata.place.passages import bars_within, inside, laid_along, placed_by
from cavata.place.repeat_signs import (
    Cuts,
    CutSign,
    EndSign,
    has_room,
    sign_of,
    sign_of_upbeat,
    signs_of_endings,
    up_to,
    warn_beyond,
)
from cavata.place.settings import Settings, TempoAt, TempoStretch, changed_tempo, movement_tempi, sorted_settings
from cavata.place.staves import StaffBuilder
from cavata.place.surely_not_meant import report_contradicted_keys, report_silent_bars, report_unseen_dynamics
from cavata.place.through import Headings
from cavata.place.upbeats import checked, lead_of
from cavata.place.verses import give_words_to_times
from cavata.record import record, replace
from cavata.score.playing import playing_order
from cavata.score.score import Movement, Part, ScoreBar, ScoreEvent, Section, Staff, Tempo
from cavata.score.whereabouts import Whereabouts
from cavata.syntax import tree as t
from cavata.text import fraction_text, so_many

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
    number: int
    settings: Settings
    ruler: Ruler
    onset: Fraction
    length: Fraction
    bars: int
    upbeat: Fraction
    """How much of it lies in the section before; onset and length count it in."""
    lead: Fraction
    """How much of its lines lies before its first bar, and is played again with it."""
    goes_back: Fraction | None
    """Where the repeat sign stands, from its onset, where it stands inside the last bar."""
    repeat: Repeat | None
    endings: tuple[CutSign, ...]
    """Where it goes back between its endings."""
    said: tuple[tuple[Fraction, Fraction], ...] = ()
    """From where to where its lines go, in the movement, their rests included."""
    excerpts: tuple[PlacedExcerpt, ...] = ()

    @property
    def sign(self) -> EndSign | None:
        """Where it goes back at its end."""
        if self.repeat is None or not self.repeat.goes_back_after(self.bars, self.bars):
            return None
        end = self.length if self.goes_back is None else self.goes_back
        return EndSign(self.planned.called, self.planned.span, self.onset + end)


class MovementPlacer:
    """Places one movement."""

    def __init__(
        self, planned: PlannedMovement, parts: tuple[Part, ...], carried: Carried, bag: Diagnostics,
        kept: KeptMovement | None = None,
    ) -> None:
        """What is `kept` of the time before is not made again."""
        self.planned = planned
        self.parts = {part.name: part for part in parts}
        self.carried = carried
        self.bag = bag
        self.settings = sorted_settings(planned.settings, bag)
        self.kept = kept
        self.staves = StaffBuilder(parts, bag, kept)
        self.stretches: list[_Stretch] = []
        self.bars: list[ScoreBar] = []
        self.headings = Headings(planned, self.parts, self.staves, bag)
        self.begins: set[Fraction] = set()
        """Where a repeat begins with an upbeat, so that its sign stands inside a bar."""
        self.ends: dict[Fraction, int] = {}
        """Where such a repeat goes back, with how often all is played."""
        self.cuts = Cuts(bag)
        self.upbeat_signs: tuple[CutSign, ...] = ()
        """Those before repeated upbeats, of the sections so far."""

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
        onset = self.divide(onset)
        self.mark_all()
        for stretch in self.stretches:
            for row in stretch.planned.rows:
                if isinstance(row, t.Through):
                    self.bars = self.headings.take(row, stretch.number, self.bars)
        if self.staves.count > MOST_NOTES:
            return None
        staves: tuple[tuple[Staff, ...], ...] = ()
        if self.bars:
            called = [(section.called, section.span) for section in self.planned.sections]
            where = (self.kept.where if self.kept else Whereabouts)(tuple(self.bars), called)
            give_words_to_times(self.bars, self.staves)
            staves = self.staves.finished(where)
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
            Section(s.planned.called, s.planned.title, s.onset + s.upbeat, self.first_bar(i), s.planned.span)
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
            joined_changes(self.staves.changes),
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
        for number, stretch in enumerate(self.stretches):
            bars = [bar for bar in self.bars if bar.section == number and not bar.before]
            if stretch.bars and stretch.said and bars:
                name, planned = stretch.planned.called or self.planned.name.text, stretch.planned
                report_silent_bars(bars, stretch.said, self.sounding(), name, planned.span, self.bag)

    def sounding(self) -> Iterator[tuple[Fraction, Fraction]]:
        """From where to where each note of the movement sounds, without those of ossias."""
        for part in self.parts.values():
            for staff in part.instrument.staves:
                yield from ((event.onset, event.end) for event in self.staves.events[part.name, staff])

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
        try:
            ruler, lead = self.ruler(planned, settings, number)
        except Stuck as stuck:
            stuck.report(self.bag)
            return None
        upbeat = ruler.pickup if number else Fraction(0)
        before = self.stretches[-1].sign if self.stretches else None
        if not has_room(planned, upbeat, onset, before, self.bag):
            return None
        onset -= upbeat
        try:
            laid = self.measure(planned, ruler, lead)
        except Stuck as stuck:
            # What was given up before may be what would have filled the section.
            if stuck.refusal.code not in ("P115", "P125") or not self.bag.has_errors:
                stuck.report(self.bag)
            return None
        lines, excerpts, length, bars = laid
        said = tuple((onset + line.begin, onset + line.end) for line in lines)
        goes_back = sign_of(planned, lead, length)
        repeat = repeat_of(planned.repeats, bars, self.bag)
        placed = tuple(excerpt.within(onset, onset, onset + length) for excerpt in excerpts)
        said += tuple(stretch for excerpt in placed for stretch in excerpt.said)
        stretch = _Stretch(
            planned, number, settings, ruler, onset, length, bars, upbeat, lead, goes_back, repeat,
            signs_of_endings(repeat, ruler, onset), said, placed,
        )  # fmt: skip
        before_upbeat = sign_of_upbeat(repeat, ruler, lead, onset)
        self.upbeat_signs += before_upbeat
        self.cuts.cut_before(self.staves.events.values(), (*before_upbeat, *stretch.endings))
        for dealt in (dealt for excerpt in placed for dealt in excerpt.dealt(self.parts, self.staves, self.bag)):
            self.add(dealt, stretch)
        last = number == len(self.planned.sections) - 1
        for line in sorted(lines, key=lambda line: line.line.replaces):
            fits, tacet = self.check_end(line, stretch, last), line.line.tacet
            if line.line.replaces:
                self.silence(line, onset)
            if report_no_staff(line, self.parts, self.bag):
                continue
            for dealt, event in self.dealt(line, onset):
                # What is reported as too long is not reported again where it sounds into the next section.
                inside_it = fits or dealt.onset + dealt.event.duration <= onset + length
                if not inside_it or tacet and silenced(dealt.part, dealt.staff, tacet):
                    continue
                if goes_back is None or line.over:
                    self.add(dealt, stretch, event)
                else:
                    self.add(up_to(dealt, onset + goes_back), stretch)
            if goes_back is not None and not line.over:
                warn_beyond(line, goes_back, self.bag)
        return stretch

    def ruler(self, planned: PlannedSection, settings: Settings, number: int) -> tuple[Ruler, Fraction]:
        """The bars of a section, and how much of its lines lies before the first; Stuck where a place is not there."""
        row = Fraction(0) if number else settings.pickup or self.settings.pickup
        ruler = section_ruler(self.settings, settings, self.planned.is_cadenza, planned.upbeat or row, self.bag)
        lines = [line for line in planned.rows if isinstance(line, t.Line)]

        def begin(line: PlannedLine) -> Fraction:
            inner, offset = inside(ruler, line.within)
            return offset + begin_of(line, inner)

        span = settings.pickup_span or self.settings.pickup_span
        lead = checked(lead_of(lines, ruler, begin), ruler, span if row else None, self.bag)
        if not lead.length:
            return ruler, lead.length
        endings = tuple(row for row in planned.repeats if isinstance(row, t.Ending))
        return with_upbeat(ruler, lead.length, endings), lead.length

    def dealt(self, line: LaidLine, onset: Fraction) -> tuple[tuple[Dealt, ScoreEvent], ...]:
        """What parts get of a line of a section that begins at an onset, each with its event in the movement."""

        def make(bag: Diagnostics) -> tuple[tuple[Dealt, ScoreEvent], ...]:
            given = on_ossia(deal(line, onset, self.parts, bag), line)
            return tuple((dealt, score_event(dealt)) for dealt in given)

        if self.kept is None:
            return make(self.bag)
        return self.kept.dealt.of(_who(line.line), (Itself((line,)), onset), self.bag, make)

    def silence(self, line: LaidLine, onset: Fraction) -> None:
        """Take away what the parts of a replacement have there while it lasts."""
        for target in line.line.parts:
            if not silenced(target.part, target.staff, line.line.tacet):
                self.staves.silence(target.part, target.staff, onset + line.begin, onset + line.end)

    def mark_all(self) -> None:
        """Take bars through what their rows say, and let parts double others, row by row."""
        for stretch in self.stretches:
            for excerpt in stretch.excerpts:
                for dealt in excerpt.mark(self.parts, self.staves, self.bag):
                    self.add(dealt, stretch)
            for row in stretch.planned.rows:
                if isinstance(row, t.Marking):
                    self.mark(row, stretch)
                elif isinstance(row, t.Doubling):
                    self.double(row, stretch)

    def mark(self, marking: PlannedMarking, stretch: _Stretch) -> None:
        """Dress what sounds in bars of a section, or of a passage in it, or take it through a transform of pitch."""
        try:
            ruler, offset = inside(stretch.ruler, marking.within)
        except Stuck as stuck:
            stuck.report(self.bag)
            return
        bars = stretch.bars if ruler is stretch.ruler or ruler.is_free else bars_within(ruler, stretch.length - offset)
        mark_over(marking, ruler, stretch.onset + offset, bars, self.staves, self.bag)

    def double(self, doubling: PlannedDoubling, stretch: _Stretch) -> None:
        """Let parts play what another plays in bars of a section."""
        line = doubled_line(
            doubling, stretch.ruler, stretch.onset, stretch.bars, stretch.length, self.staves, self.bag
        )
        if line is not None:
            for dealt in deal(line, stretch.onset, self.parts, self.bag):
                self.add(dealt, stretch)

    def excerpt(self, row: PlannedExcerpt, ruler: Ruler) -> PlacedExcerpt:
        """Bars of another section, laid; they stand from bar 1 of the ruler on. Stuck if they are not there."""
        found = Diagnostics()  # whatever is wrong in it is reported where it stands itself
        settings = sorted_settings(row.section.settings, found)
        planned = replace(row.section, upbeat=row.section.upbeat or settings.pickup or None)
        its_own, lead = self.ruler(planned, settings, 1)
        lines, inner, length, bars = self.measure(planned, its_own, lead)
        if its_own.is_free or row.last > bars:
            name = row.section.called
            label = f"it has {so_many(bars, 'bar')}" if bars else "free time has no bars"
            message = f"`{name}` has no bars {row.first} to {row.last}"
            raise Stuck(Refusal("P882", message, label, COUNTING), row.span)
        begin, end, at = its_own.onset(row.first), its_own.onset(row.last + 1), ruler.onset(1)
        return PlacedExcerpt(
            row.section.rows, its_own, tuple(lines), tuple(inner), bars, length, at - begin, at, at + end - begin
        )

    def measure(
        self, planned: PlannedSection, ruler: Ruler, lead: Fraction
    ) -> tuple[list[LaidLine], list[PlacedExcerpt], Fraction, int]:
        """All lines and excerpts laid, the section's length, and its number of bars (0 in free time)."""
        excerpts = [self.excerpt(row, ruler) for row in planned.rows if isinstance(row, t.Excerpt)]
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
                raise Stuck(no_bars("leave the number out"), planned.span)
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
        if self.parts and not rows and not excerpts and not self.bag.has_errors:  # else there are no parts at all
            name = planned.called or self.planned.name.text
            cure = "write `PART: ...` under it"
            self.bag.warning("P126", planned.span, f"`{name}` has no line", label="nobody plays", cure=cure)
        for line in rows:
            if goes_to_end(line):
                lines[id(line)] = self.laid(line, ruler, sign_of(planned, lead, length) or length)
        found = [lines[id(line)] for line in rows]
        for row, placed in zip((row for row in planned.rows if isinstance(row, t.Excerpt)), excerpts, strict=True):
            if placed.end > length:
                taken = so_many(row.last - row.first + 1, "bar")
                raise Stuck(
                    Refusal("P101", f"{taken} are too many for `{planned.called}`", f"it has {so_many(bars, 'bar')}",
                            "give the section more bars, or take fewer over"),
                    row.span,
                )  # fmt: skip
        return [line for line in found if line is not None], excerpts, length, bars

    def laid(self, line: PlannedLine, ruler: Ruler, end: Fraction | None) -> LaidLine | None:
        """A line laid along the section; None when that was reported."""
        if self.carried.laid > MOST_IN_PIECE:
            return None
        if self.kept is None:
            laid = laid_along(line, ruler, end, self.bag)
        else:
            subject = Itself((line,)), ruler.said, end
            laid = self.kept.laid.of(_who(line), subject, self.bag, lambda bag: laid_along(line, ruler, end, bag))
        if laid is None:
            return None
        total = self.carried.laid + sum(size(item.value) for item in laid.items)
        self.carried = replace(self.carried, laid=total)
        if total > MOST_IN_PIECE:
            self.bag.error(
                "P116", line.span, f"a piece holds {MOST_IN_PIECE} notes and rests at most",
                label="the compiler stops here",
                cure="repeat less often",
            )
        return laid

    def check_end(self, line: LaidLine, stretch: _Stretch, last: bool) -> bool:
        """Whether a line fits its section; a longer one is an error unless its last item sounds on into the next."""
        ruler = stretch.ruler
        if line.end <= stretch.length:
            return True
        item = line.items[-1] if line.items else None
        span = item.item.span if item and item.end > stretch.length else line.line.span
        name = stretch.planned.called or self.planned.name.text
        excess = fraction_text(line.end - stretch.length)
        room = so_many(stretch.bars, "bar") if stretch.bars else "its length"
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

    def add(self, dealt: Dealt, stretch: _Stretch, event: ScoreEvent | None = None) -> None:
        """Hand an event of a section to its staff, up to a sign that cuts it; too many are reported once."""
        if self.staves.count >= MOST_NOTES:
            if self.staves.count == MOST_NOTES:
                self.bag.error(
                    "P116", dealt.laid.item.span, f"a movement holds {MOST_NOTES} notes at most",
                    cure="divide it into movements, or repeat less often",
                )
            self.staves.count += 1
            return
        kept = self.cuts.cut(dealt, (*self.upbeat_signs, *stretch.endings))
        self.headings.note(kept, stretch.number)
        self.staves.add(kept, event if kept is dealt else None)

    # -------------------------------------------------------------- bars and tempi

    def add_bars(self, stretch: _Stretch, number: int) -> None:
        """The bars of a section; their printed numbers run on through the movement."""
        printed = next((bar.number for bar in reversed(self.bars)), 0)
        repeat = stretch.repeat
        self.bars += section_bars(
            stretch.ruler, stretch.onset, stretch.length, stretch.bars, number, printed, repeat,
            stretch.upbeat, stretch.lead,
        )
        if repeat is not None and stretch.lead:
            self.begins.add(stretch.onset + stretch.ruler.pickup - stretch.lead)
            if stretch.goes_back is not None:
                self.ends[stretch.onset + stretch.goes_back] = repeat.times

    def in_form(self) -> Iterator[PlacedSection]:
        """The sections as far as the order of playing goes."""
        for stretch, after in zip(self.stretches, (*self.stretches[1:], None), strict=False):
            end = stretch.onset + stretch.length
            sign = end if stretch.goes_back is None else stretch.onset + stretch.goes_back
            name = stretch.planned.called
            lead = stretch.ruler.pickup
            begin, end = stretch.onset, min(sign, end if after is None else after.onset)
            yield PlacedSection(name, stretch.planned.form_signs, begin, end, lead)

    def divide(self, end: Fraction) -> Fraction:
        """Cut bars at the signs inside them; the movement's end, without what lies silent after the last sign."""
        if not (self.begins or self.ends or any(stretch.planned.form_signs for stretch in self.stretches)):
            return end
        sounding = max((event.end for events in self.staves.events.values() for event in events), default=end)
        form = form_places(list(self.in_form()), sounding, self.bag)
        self.bars = list(cut_bars(self.bars, Signs(frozenset(self.begins), self.ends, form.opens, form.closes)))
        last = self.bars[-1] if self.bars else None
        if last is None or not last.before or not (self.bars[-2].repeat_ends or self.bars[-2].closes):
            return end
        if sounding > last.onset:
            return end
        self.bars.pop()
        return last.onset

    def tempi(self) -> tuple[Tempo, ...]:
        """Every metronome mark of the movement; what goes on unchanged is not printed again."""
        own = self.settings.tempi[0] if self.settings.tempi else None
        before = self.carried.tempo
        base = replace(before, words="", equals=None) if own is None else changed_tempo(before, own)
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
            self.bag.refused(row.span, refusal)
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
            self.bag.refused(place.span, refusal)
            return None
        if onset >= stretch.length:
            if place.counted:
                label = f"it has {so_many(stretch.bars, 'bar')}"
                self.bag.error("P117", place.span, f"the section has no bar {place.bar}", label=label, cure=COUNTING)
            else:
                over = f"the section is over after {stretch.length}"
                self.bag.error("P117", place.span, over, cure="name an earlier place")
            return None
        return onset


def _who(line: PlannedLine) -> tuple[tuple[str, str], ...]:
    """Who plays a line, as the key under which it is kept."""
    return tuple((each.part, each.staff) for each in line.parts)
