"""Collecting the events of every staff."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import chain, zip_longest
from math import lcm
from typing import TypeVar

from cavata.again import Again, Itself
from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.instruments.instrument import PEDAL, Instrument
from cavata.music.event import AFTERWARD, KIND_OF, KINDS, NOTHING, UNMEASURED, Event, divided_marks, told
from cavata.music.lengths import LARGEST_ODD
from cavata.music.said import said_apart
from cavata.place.dealing import Dealt, score_event
from cavata.place.kept import KeptMovement
from cavata.place.melismas import with_melismas
from cavata.place.ranges import check_ranges
from cavata.place.strings import check_strings
from cavata.place.voices import VOICES, Clash, apart, clash, in_one_voice
from cavata.record import replace
from cavata.score.score import InstrumentChange, Part, ScoreEvent, Staff, ossia_of
from cavata.score.whereabouts import Whereabouts, listed
from cavata.source import Span
from cavata.text import fraction_text

Made = TypeVar("Made")

# ----------------------------------------------------------------
# Techniques, pedal and glissandi along one staff.
#
# In: the events of a staff in order, through a movement. Out: the same events. Holds after: a technique stands only
# where
# another of its kind was in force; the pedal that goes down comes up; a glissando leads to a note that follows at once.


def settled(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """The events with what is needless or left open put right."""
    if not any(placed.event.marks for placed in events):
        return events
    return _pedalled(_glides(_techniques(events)))


def _techniques(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    out = list(events)
    in_force = [words[0] for words in KINDS]
    for index, placed in enumerate(events):
        given = placed.event.marks.techniques
        last = {KIND_OF[word]: word for word in given}
        needed = tuple(word for word in given if last[KIND_OF[word]] == word != in_force[KIND_OF[word]])
        for word in needed:
            in_force[KIND_OF[word]] = word
        if needed != given:
            _mark(out, index, techniques=needed)
    return tuple(out)


def _glides(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    return tuple(
        _with(placed, glides=False)
        if placed.event.marks.glides and (following is None or following.onset > placed.end)
        else placed
        for placed, following in zip_longest(events, events[1:])
        if placed is not None
    )


def _pedalled(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Down before it goes up, and up before it goes down again or at the last note."""
    out = list(events)
    down = False
    for index, placed in enumerate(events):
        marks = placed.event.marks
        if marks.pedal_begins and down:
            _mark(out, index - 1, pedal_ends=True)
        down = down or marks.pedal_begins
        if marks.pedal_ends and not down:
            _mark(out, index, pedal_ends=False)
        down = down and not marks.pedal_ends
    if down:
        out[-1] = _with(out[-1], pedal_ends=True)
    return tuple(out)


def _with(placed: ScoreEvent, **changes: object) -> ScoreEvent:
    marks = replace(placed.event.marks, **changes)  # type: ignore[arg-type]  # fields of Marks, named above
    return placed.with_marks(marks)


# ----------------------------------------------------------------
# Marks in the order in which a player meets them: what repeats or cutting left open or said twice is put right.
#
# In: the events of one staff in order. Out: the same events with tidy marks. Holds after: slurs and hairpins that begin
# end again; a syllable over several notes has its slur; a dynamic is not restated while it is in force, but stands
# again after a long rest; techniques, pedal and glissandi are settled.


LONG_REST, REST = 2, 1
"""After so many bars of rest a player is told the dynamic again; after so many if the script says it again. Source:
common practice."""


def tidy(events: tuple[ScoreEvent, ...], bar_length: Callable[[Fraction], Fraction]) -> tuple[ScoreEvent, ...]:
    """The staff's events with tidy marks; `bar_length` gives the length of the bar at an onset."""
    return settled(_dynamics(_hairpins(with_melismas(_slurs(events))), bar_length))


def _slurs(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Every slur begun is ended: at the latest before the next begins, or on the last note.

    Of two in one item that overlap, as where slurred lines are woven, one is made, as far as both go.
    """
    out = list(events)
    begun: int | None = None
    inner = 0
    for index, placed in enumerate(events):
        marks = placed.event.marks
        if marks.slur_ends and begun is None:
            _mark(out, index, slur_ends=False)
        elif marks.slur_ends and inner:
            _mark(out, index, slur_ends=False)
            inner -= 1
        elif marks.slur_ends:
            begun = None
        if marks.slur_begins:
            if begun is not None and _both_end(events, begun, index, inner):
                _mark(out, index, slur_begins=False)
                inner += 1
                continue
            if begun is not None:
                _close(out, begun, index - 1)
            begun, inner = index, 0
    if begun is not None:
        _close(out, begun, len(events) - 1)
    return tuple(out)


def _both_end(events: tuple[ScoreEvent, ...], begun: int, index: int, inner: int) -> bool:
    """Whether the slurs that are open and one that begins under them all end later in the same turn of their item."""
    turn = events[index].line, events[index].turn
    if (events[begun].line, events[begun].turn) != turn:
        return False
    open_ = inner + 2
    for placed in events[index + 1 :]:
        if (placed.line, placed.turn) != turn:
            return False
        open_ += placed.event.marks.slur_begins - placed.event.marks.slur_ends
        if open_ <= 0:
            return True
    return False


def _close(out: list[ScoreEvent], begun: int, last: int) -> None:
    if last > begun:
        _mark(out, last, slur_ends=True)
    else:
        _mark(out, begun, slur_begins=False)


def _hairpins(events: tuple[ScoreEvent, ...]) -> tuple[ScoreEvent, ...]:
    """Every hairpin begun is ended: by the next dynamic or hairpin, or on the last note; a stray end goes."""
    out = list(events)
    begun = False
    for index, placed in enumerate(events):
        marks = placed.event.marks
        on_one_note = bool(marks.hairpin) and marks.hairpin_ends and (bool(marks.goal) or not begun)
        ends = begun and (marks.hairpin_ends or bool(marks.hairpin or marks.dynamic or marks.attack in AFTERWARD))
        if ends != marks.hairpin_ends and not on_one_note:
            _mark(out, index, hairpin_ends=ends)
        if marks.attack and begun and (not ends or marks.dies_away):
            _mark(out, index, swelling=True)
        begun = bool(marks.hairpin) and not on_one_note or (begun and not ends)
    if begun:
        _mark(out, len(events) - 1, hairpin_ends=True)
    return tuple(out)


def _dynamics(events: tuple[ScoreEvent, ...], bar_length: Callable[[Fraction], Fraction]) -> tuple[ScoreEvent, ...]:
    out = list(events)
    in_force, swelling = "", False
    reached: Fraction | None = None  # when the hairpin ended that led to the dynamic in force
    lost = False  # a hairpin led to silence, or to no dynamic: nobody knows what is in force
    for index, placed in enumerate(events):
        marks = placed.event.marks
        if marks.again:
            told_before = (in_force or lost) and not swelling and not marks.dynamic
            due = marks.again if told_before and marks.again != in_force else ""
            marks = replace(marks, again="", dynamic=due or marks.dynamic)
            _mark(out, index, again="", dynamic=marks.dynamic)
        rest = _bars_of_rest(events[index - 1], placed, bar_length) if index else 0
        long_rest = rest >= LONG_REST
        said = marks.attack in AFTERWARD
        before = AFTERWARD.get(marks.attack, in_force)
        if index and not placed.follows(events[index - 1]):
            reached = None
        said_there = reached is not None and placed.onset - reached <= bar_length(placed.onset) and not marks.attack
        again = rest >= REST or swelling or (bool(marks.hairpin) and not said_there)
        if marks.dynamic and marks.dynamic == before and (said or not again):
            _mark(out, index, dynamic="")
        elif marks.dynamic:
            reached = placed.onset if marks.hairpin_ends else None
        elif not marks.loud and long_rest and in_force and not swelling:
            _mark(out, index, dynamic=in_force)
        in_force = marks.in_force_after(in_force)
        if marks.hairpin and marks.hairpin_ends and marks.goal:
            in_force = "" if marks.goal == NOTHING else told(marks.goal).in_force_after(in_force)
            reached = placed.end
            lost = not in_force
        elif marks.hairpin_ends and not marks.in_force_after(""):
            in_force, lost = "", True
        lost = lost and not in_force
        swelling = (bool(marks.hairpin) and not marks.goal) or (swelling and not marks.hairpin_ends)
    return tuple(out)


def _bars_of_rest(
    before: ScoreEvent, event: ScoreEvent, bar_length: Callable[[Fraction], Fraction]
) -> Fraction | int:
    """How many bars of rest, in bars of the first one's length, lie between two events."""
    return 0 if event.follows(before) else (event.onset - before.end) / bar_length(before.end)


def _mark(out: list[ScoreEvent], index: int, **changes: object) -> None:
    out[index] = _with(out[index], **changes)


# ----------------------------------------------------------------
# The pedal of an instrument with two staves, which is one, whichever hand it was said for.
#
# In: the staves of a part, the pedal of each voice put right. Out: the same staves. Holds after: over all of them the
# pedal goes down and up in turn; what two hands have at once is down from the first to the last moment, and where one
# begins under the other it goes up in time if a note ends there.


def _one_pedal(staves: tuple[Staff, ...]) -> tuple[Staff, ...]:
    events = [event for staff in staves for voice in staff.voices for event in voice]
    stretches = [stretch for staff in staves for voice in staff.voices for stretch in _pedals(voice)]
    if len(staves) < 2 or not stretches:
        return staves
    stretches = list(_joined_pedals(sorted(stretches), {event.end for event in events}))
    begins, ends = ({moments[place] for moments in stretches} for place in (0, 1))
    out = []
    for staff in reversed(staves):  # the lower staff first: the sign stands under it
        voices = []
        for voice in staff.voices:
            marked = []
            for event in voice:
                down, up = event.onset in begins, event.end in ends
                begins.discard(event.onset)
                ends.discard(event.end)
                changed = (down, up) != (event.event.marks.pedal_begins, event.event.marks.pedal_ends)
                marked.append(_with(event, pedal_begins=down, pedal_ends=up) if changed else event)
            voices.append(tuple(marked))
        out.append(replace(staff, voices=tuple(voices)))
    return tuple(reversed(out))


def _pedals(voice: tuple[ScoreEvent, ...]) -> Iterator[tuple[Fraction, Fraction]]:
    """From and to, pedal after pedal."""
    begun = Fraction(0)
    for event in voice:
        if event.event.marks.pedal_begins:
            begun = event.onset
        if event.event.marks.pedal_ends:
            yield begun, event.end


def _joined_pedals(
    stretches: list[tuple[Fraction, Fraction]], ends: set[Fraction]
) -> Iterator[tuple[Fraction, Fraction]]:
    begin, end = stretches[0]
    for following, its_end in stretches[1:]:
        if following >= end:
            yield begin, end
            begin, end = following, its_end
        elif following > begin and following in ends:
            yield begin, following
            begin, end = following, max(end, its_end)
        else:
            end = max(end, its_end)
    yield begin, end


def _short_before(event: ScoreEvent, where: Whereabouts) -> str:
    """How long the bar before an event's lasts, if it ends an ending and is completed by the upbeat played again."""
    begin = where.bar(event).onset
    before = next((bar for bar in where.bars if bar.end == begin), None)
    if before is None or before.meter is None or not (before.ending and before.repeat_ends):
        return ""
    length = before.before + before.duration
    if length >= before.meter.duration:
        return ""
    return f"; the bar before lasts {fraction_text(length)}, as the upbeat completes it"


# ----------------------------------------------------------------

LARGEST_POWER = 4096
"""The largest power of two in a denominator that notes and brackets can show."""


class StaffBuilder:
    """The staves of one movement while it is being placed."""

    def __init__(self, parts: tuple[Part, ...], bag: Diagnostics, kept: KeptMovement | None = None) -> None:
        self.parts = {part.name: part for part in parts}
        self.bag = bag
        self.kept = kept
        self.events: dict[tuple[str, str], list[ScoreEvent]] = {
            (part.name, staff): [] for part in parts for staff in part.instrument.staves
        }
        self.unsorted = set(self.events)
        self.of_two_parts: set[tuple[str, str]] = set()
        self.changes: list[InstrumentChange] = []
        self.count = 0
        self.warned: set[tuple[str, int, str]] = set()

    def add(self, dealt: Dealt, event: ScoreEvent | None = None) -> None:
        """Take an event in; `event` is the one that is dealt, where it is known already."""
        self.count += 1
        self.events.setdefault((dealt.part, dealt.staff), []).append(event or score_event(dealt))
        self.unsorted.add((dealt.part, dealt.staff))
        if dealt.of_two_parts:
            self.of_two_parts.add((dealt.part, dealt.staff))

    def silence(self, part: str, staff: str, begin: Fraction, end: Fraction) -> None:
        """Take away what a part has from one moment to another, on one staff or all.

        What begins before is cut where the silence begins, and does not come back after it.
        """
        for key in ((part, name) for name in self.parts[part].instrument.staves if staff in ("", name)):
            kept = []
            for event in self.events[key]:
                if event.end <= begin or end <= event.onset:
                    kept.append(event)
                elif event.onset < begin:
                    kept.append(event.up_to(begin))
            self.events[key] = kept

    def check_length(self, event: ScoreEvent) -> None:
        """A duration too fine for notes and brackets is an error at its line."""
        denominator = event.event.duration.denominator
        power = denominator & -denominator
        if power > LARGEST_POWER or denominator // power > LARGEST_ODD:
            self.warn_once(
                "", event, "length", "P118", f"a note of {event.event.duration} cannot be written",
                "too fine for notes and brackets", "use a smaller ratio in `diminution` or simpler values", True,
            )

    def warn_once(
        self, part: str, event: ScoreEvent, kind: str, code: str, message: str, label: str, cure: str,
        is_error: bool = False, also: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Report one kind of finding once for each item of a part."""
        key = (part, event.line.start, kind)
        if key in self.warned:
            return
        self.warned.add(key)
        report = self.bag.error if is_error else self.bag.warning
        report(code, event.line, message, label=label, cure=cure, also=also)

    def finished(self, where: Whereabouts) -> tuple[tuple[Staff, ...], ...]:
        """Every part's staves, their events in order and their marks tidy; what overlaps is reported."""
        store = self.kept.staves if self.kept else None
        finished = [
            self._again(store, part, where, partial(self.finished_of, where=where)) for part in self.parts.values()
        ]
        places: dict[Diagnostic, list[str]] = {}
        for _, clashes in finished:
            for each in clashes:
                places.setdefault(each.message, []).append(each.place)
        for message, alike in places.items():
            self.bag.report(replace(message, message=message.message.format(place=listed(alike))))
        return tuple(staves for staves, _ in finished)

    def finished_of(self, part: Part, where: Whereabouts) -> tuple[tuple[Staff, ...], tuple[Clash, ...]]:
        """The staves of one part, and lines of them that sound at once."""
        clashes: dict[tuple[Span, Span], Clash] = {}
        for staff in (*part.instrument.staves, *self.ossias(part)):
            found = clash(self.events_of(part.name, staff), (part.name, staff) in self.of_two_parts)
            if found is not None:
                clashes.setdefault((found[0].line, found[1].line), self.clash_on(part.name, staff, *found, where))
        staves = _one_pedal(
            tuple(
                Staff(
                    staff, self.tidied(part.name, staff, where), ossia=self.tidied(part.name, ossia_of(staff), where)
                )
                for staff in part.instrument.staves
                if staff != part.instrument.third or self.events[(part.name, staff)] or not staff
            )
        )
        return staves, tuple(clashes.values())

    def _again(
        self, store: Again[Made] | None, part: Part, where: Whereabouts, make: Callable[[Part], Made], *more: object
    ) -> Made:
        """What was made of a part's events before, if they are the very same, where they were; else what is made now.

        `more`: what else it depends on.
        """
        if store is None:
            return make(part)
        names = (*part.instrument.staves, *self.ossias(part))
        events = [self.in_order(part.name, staff) for staff in names]
        outer = self.bag

        def within(bag: Diagnostics) -> Made:
            self.bag = bag
            try:
                return make(part)
            finally:
                self.bag = outer

        subject = Itself((where, *chain.from_iterable(events))), list(map(len, events)), more
        return store.of(part.name, subject, outer, within)

    def tidied(self, part: str, staff: str, where: Whereabouts) -> tuple[tuple[ScoreEvent, ...], ...]:
        """The voices of a staff with tidy marks; none where there is no such staff, as for most that an ossia has."""
        there = (part, staff) in self.events
        return tuple(tidy(voice, where.bar_length) for voice in self.voices(part, staff)) if there else ()

    def ossias(self, part: Part) -> tuple[str, ...]:
        """The small staves that stand above those of a part."""
        return tuple(name for name in map(ossia_of, part.instrument.staves) if (part.name, name) in self.events)

    def events_of(self, part: str, staff: str) -> Sequence[ScoreEvent]:
        """The events of a staff in order, each with the voice in which it is written."""
        events = self.in_order(part, staff)
        return in_one_voice(events) if (part, staff) in self.of_two_parts else events

    def voices(self, part: str, staff: str) -> tuple[tuple[ScoreEvent, ...], ...]:
        """The events of a staff in order, voice by voice."""
        events = self.events_of(part, staff)
        for event in events:
            self.check_length(event)
            self.check_tremolo(part, event)
        voices = apart(events)
        for voice in voices:
            self.check_glides(part, voice)
        return voices

    def clash_on(self, part: str, staff: str, earlier: ScoreEvent, later: ScoreEvent, where: Whereabouts) -> Clash:
        """What is said of two events of a staff that sound at once but may not."""
        place = f"`{part}.{staff}`" if staff else f"`{part}`"
        others = "give it to another part, begin the later one with `replace:`, "
        if staff in self.ossias(self.parts[part]):
            place, others = f"the ossia of `{part}`", ""
        bars, short = where.bars_of((later,)), _short_before(later, where)
        if earlier.line == later.line:
            message = Diagnostic(
                "P102", Severity.ERROR, f"this line of {{place}} sounds twice at once{bars}", later.line,
                f"it begins again before it is done{short}",
                "let it end sooner: what comes again with a pickup or an upbeat begins in the bar before",
            )  # fmt: skip
        else:
            message = Diagnostic(
                "P102", Severity.ERROR, f"two lines of {{place}} sound at once{bars}", later.line,
                f"begins before the other is done{short}",
                f"let one of them rest, {others}or put both into one item with `together(a, b)`",
                ((earlier.line, "the other line"),),
            )  # fmt: skip
        return Clash(place, message)

    def check_tremolo(self, part: str, event: ScoreEvent) -> None:
        """A note too short for the strokes of its tremolo is a warning at its line; one as long as the value that is
        asked for is that value.
        """
        for ornament in event.event.marks.ornaments:
            short = ornament.kind == "tremolo" and event.event.duration <= (ornament.unit or UNMEASURED)
            if short and event.event.duration != ornament.unit:
                self.warn_once(
                    part, event, "tremolo", "P867", f"a note of {event.event.duration} is too short for its tremolo",
                    "it has no strokes", "repeat longer notes, or name the notes in `tremolo 1 3`",
                )  # fmt: skip

    def check_glides(self, part: str, events: tuple[ScoreEvent, ...]) -> None:
        """A glissando that leads to no note is a warning at its line."""
        for event, following in zip_longest(events, events[1:]):
            if event.event.marks.glides and (following is None or following.onset > event.end):
                self.warn_once(
                    part, event, "glide", "P401", "a glissando leads to no note",
                    "a rest follows" if following else "nothing follows", "let a note follow it at once",
                )

    def check_reach(self, where: Whereabouts) -> None:
        """What lies beyond the players' ranges is told."""
        for part in self.parts.values():
            changes = [change for change in self.changes if change.part == part.name]
            check = partial(self.check_reach_of, where=where)
            self._again(self.kept.reach if self.kept else None, part, where, check, changes)

    def check_reach_of(self, part: Part, where: Whereabouts) -> None:
        """What lies beyond a part's range."""
        names = (*part.instrument.staves, *self.ossias(part))
        events = [event for staff in names for event in self.in_order(part.name, staff)]
        for held, run in self.by_instrument(part, events):
            check_strings(held, run, self.warn_once)
        if part.instrument.unpitched:
            return
        staves = [self.in_order(part.name, s) for s in names if s != PEDAL]
        events = staves[0] if len(staves) == 1 else _sorted([event for staff in staves for event in staff])
        with_feet = self.in_order(part.name, PEDAL) if PEDAL in part.instrument.staves else ()
        if with_feet:
            feet = replace(part, name=f"{part.name}.{PEDAL}", instrument=part.instrument.on_pedals())
            check_ranges(feet, with_feet, where, self.bag)
        for held, run in self.by_instrument(part, events):
            check_ranges(held, run, where, self.bag)

    def by_instrument(self, part: Part, events: list[ScoreEvent]) -> list[tuple[Part, list[ScoreEvent]]]:
        """A part's events, those on other instruments apart, with the part as it plays each."""
        changes = [change for change in self.changes if change.part == part.name]
        if not changes:
            return [(part, events)]
        runs: dict[Instrument, list[ScoreEvent]] = {}
        for event in events:
            here = (c.instrument for c in changes if c.begin <= event.onset < c.end)
            runs.setdefault(next(here, part.instrument), []).append(event)
        return [(replace(part, instrument=instrument), run) for instrument, run in runs.items()]

    def check_beyond(self, end: Fraction) -> None:
        """What sounds on from one section into the next must be done when the movement is."""
        for part, staff in self.events:
            last_of_voice = {event.voice: event for event in self.in_order(part, staff)}
            for event in last_of_voice.values():
                if event.end > end:
                    self.warn_once(
                        part, event, "beyond", "P109", "this item sounds on beyond the end of the movement",
                        f"longer by {fraction_text(event.end - end)}", "give the sections after it more bars", True,
                    )

    def between(self, part: str, staff: str, begin: Fraction, end: Fraction) -> list[list[int]]:
        """Indices of the staff's events that begin in a stretch of the movement, in order of onset, voice by voice."""
        events = self.in_order(part, staff)
        inside = range(_first_from(events, begin), _first_from(events, end))
        voices = [[index for index in inside if events[index].voice == voice] for voice in range(VOICES)]
        return [indices for indices in voices if indices]

    def in_order(self, part: str, staff: str) -> list[ScoreEvent]:
        """The events of a staff by onset; sorting what is nearly in order costs little, but not nothing."""
        events = self.events[(part, staff)]
        if (part, staff) in self.unsorted:
            events[:] = _sorted(events)
            self.unsorted.discard((part, staff))
        return events

    def divide(self, part: str, staff: str, at: Fraction) -> None:
        """Write a note that sounds at a place as two tied ones, so that a marking can begin there."""
        events = self.in_order(part, staff)
        before = _first_from(events, at) - 1
        for voice in range(VOICES):
            # Notes of one voice do not overlap, so that only its latest can still sound.
            index = next((i for i in range(before, -1, -1) if events[i].voice == voice), None)
            if index is None or events[index].end <= at:
                continue
            whole = events[index]
            first, second = said_apart(whole.event.marks, *divided_marks(whole.event.marks))
            before_it = Event(at - whole.onset, whole.event.heads, first)
            after_it = Event(whole.end - at, whole.event.heads, second)
            events[index] = replace(whole, event=before_it, tied_after=True)
            events.append(replace(whole, onset=at, event=after_it, tied_before=True))
            self.unsorted.add((part, staff))

    def replace(self, part: str, staff: str, index: int, event: Event) -> None:
        """Put another event in the place of one."""
        old = self.events[(part, staff)][index]
        self.events[(part, staff)][index] = replace(old, event=event)


def _sorted(events: list[ScoreEvent]) -> list[ScoreEvent]:
    """Events by onset; these are counted in one unit, since whole numbers compare several times faster."""
    onsets = [event.onset.as_integer_ratio() for event in events]
    unit = lcm(*{denominator for _, denominator in onsets})
    keys = [numerator * (unit // denominator) for numerator, denominator in onsets]
    return [events[index] for index in sorted(range(len(events)), key=keys.__getitem__)]


def _onset(event: ScoreEvent) -> Fraction:
    return event.onset


def _first_from(events: list[ScoreEvent], onset: Fraction) -> int:
    """The index of the first event that begins at an onset or after it."""
    return bisect_left(events, onset, key=_onset)
