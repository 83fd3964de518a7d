"""Laying one score line along a section: items after each other, repeated, cut and held.

In: a planned line and the section's ruler. Out: runs of events with their onsets from the section's
beginning. Which part plays which of them is decided afterward.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.plan import Music, PlannedItem, PlannedLine
from cavata.music.event import AFTERWARD, Event, Marks, Motif, Rhythm, Texture
from cavata.music.said import moved_at
from cavata.place.bars import Ruler, no_bars
from cavata.place.upbeats import UpbeatMisfit, given_way, misfit, opening_upbeat, upbeat_of
from cavata.record import record, replace
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.transforms.combinations import delayed, in_turns
from cavata.transforms.selection import bounded
from cavata.transforms.time import cut_at, padded, turns_to_fill

# ------------------------------------------------------------------ lines of a texture that wait for bars


def counted(value: Music, ruler: Ruler, at: Fraction, span: Span) -> Music:
    """The value with its bars counted from the place `at` in the section, now that there is a meter; they become rests.

    Each span of bars is counted in the meter where it begins, so that entries keep step with a changing meter.
    """
    if isinstance(value, Texture) and value.turns:
        spoken = in_turns(value.lines, _turns(value, ruler, at))
        return Texture(tuple(line.having(moved_at(line.events, span)) for line in spoken))
    if not isinstance(value, Texture) or not value.waits:
        return value
    lines: list[Motif] = []
    for line, waits in zip(value.lines, value.waits, strict=True):
        entry = at
        for bars in waits:
            before = entry
            entry += ruler.span(t.Bars(bars), entry)
            if value.close and entry - before >= line.duration:
                raise Refusal(
                    "P201", f"an entry after {entry - before} is no stretto", f"the line lasts {line.duration}",
                    "let it enter before the voice before it ends; a `canon` may enter later",
                )
        lines.append(delayed(line, entry - at))
    return Texture(tuple(lines))


def _turns(value: Texture, ruler: Ruler, at: Fraction) -> tuple[Fraction, ...]:
    """Where the turns of a dialogue begin, in whole notes from its beginning; the first has the upbeat."""
    places, now = [Fraction(0)], at + value.upbeat
    while now < at + value.duration:
        now += ruler.span(t.Bars(value.turns), now)
        places.append(now - at)
    return tuple(places)


# ------------------------------------------------------------------ items one after another


_SHORT = ("staccato", "staccatissimo")


@record
class Laid:
    """One item where it sounds; `onset` counts from the section's beginning."""

    onset: Fraction
    value: Music
    item: PlannedItem
    turn: Fraction
    """How long one turn lasts of what the item repeats."""

    @property
    def end(self) -> Fraction:
        """Where it is over."""
        return self.onset + self.value.duration


@record
class LaidLine:
    """A line laid along its section."""

    line: PlannedLine
    items: tuple[Laid, ...]
    begin: Fraction
    end: Fraction
    """Where its last item or rest is over."""
    over: bool
    """Its last item may sound on beyond the section."""
    misfits: tuple[UpbeatMisfit, ...] = ()
    """Upbeats of its items that lead to no bar line."""

    @property
    def needs(self) -> Fraction:
        """How much of the section it needs: what sounds on beyond it does not count."""
        return self.items[-1].onset if self.over and self.items else self.end


class Stuck(Exception):
    """The line cannot be laid: why, and which of its items."""

    def __init__(self, refusal: Refusal, span: Span) -> None:
        super().__init__(refusal.message)
        self.refusal = refusal
        self.span = span

    def report(self, bag: Diagnostics, also: tuple[tuple[Span, str], ...] = ()) -> None:
        """Say what could not be laid, and where."""
        bag.refused(self.span, self.refusal, also)


def size(value: Music) -> int:
    """How many notes, chords and rests a value has."""
    match value:
        case Motif(events):
            return len(events)
        case Rhythm(beats):
            return len(beats)
        case Texture(lines):
            return sum(len(line.events) for line in lines)


def goes_to_end(line: PlannedLine) -> bool:
    """Whether an item of the line lasts until the section's end, whatever its length."""
    return any(isinstance(i, t.Item) and _goes_to_end(i) for i in line.items)


def _goes_to_end(item: PlannedItem) -> bool:
    return isinstance(item.repeat, t.UntilEnd) or (isinstance(item.repeat, t.Held) and item.repeat.length is None)


def lay(line: PlannedLine, ruler: Ruler, section_end: Fraction | None) -> LaidLine:
    """Lay a line; `section_end` may be None for a line that does not go until the end."""
    begin = at = begin_of(line, ruler)
    laid: list[Laid] = []
    wrong: list[UpbeatMisfit | None] = []
    count = 0
    rested = Fraction(0)
    for item in line.items:
        try:
            match item:
                case t.RestItem(length, _):
                    rested += (length := ruler.span(length, at))
                    at += length
                case t.RestTo(bar, _):
                    before, at = at, _rest_to(bar, at, ruler)
                    rested += at - before
                case t.Item():
                    _whole(item, line)
                    upbeat = Fraction(0) if ruler.is_free else upbeat_of(item.value)
                    at = given_way(upbeat, at, rested, ruler) if upbeat and rested else at
                    once = counted(item.value, ruler, at, item.span)
                    value = _extended(item.holding(once), ruler, at, section_end)
                    count += size(value)
                    bounded(count)
                    laid.append(Laid(at, value, item, once.duration))
                    wrong.append(misfit(item, at, once.duration, value.duration, ruler))
                    at += value.duration
                    rested = Fraction(0)
        except Refusal as refusal:
            raise Stuck(refusal, item.span) from None
    last = line.items[-1] if line.items else None
    inside_a_bar = line.place is not None and (line.place.beat != 1 or line.place.offset != 0)
    misfits = () if inside_a_bar else tuple(one for one in wrong if one is not None)
    return LaidLine(line, tuple(laid), begin, at, isinstance(last, t.Item) and last.over, misfits)


def _whole(item: PlannedItem, line: PlannedLine) -> None:
    """Refuses an item that sounds nothing, or that would sound on over what follows it in its line."""
    if not size(item.value):
        raise Refusal("P113", "an empty value cannot be placed", "it has no notes", "take it out, or give it notes")
    if item.over and item is not line.items[-1]:
        raise Refusal(
            "P127", "only the last item of a line sounds on beyond its section", "another item follows it",
            "take `over` away, or let the line end here",
        )  # fmt: skip


def begin_of(line: PlannedLine, ruler: Ruler) -> Fraction:
    """Where a line begins; one with an upbeat has its first bar line at its place, or where bar 1 begins."""
    place, upbeat = line.place, opening_upbeat(line, ruler)
    if place is None:
        return ruler.onset(1) - upbeat if upbeat else ruler.begins
    try:
        return onset_of(place, ruler) - upbeat
    except Refusal as refusal:
        raise Stuck(refusal, place.span) from None


def onset_of(place: t.Place, ruler: Ruler) -> Fraction:
    """Where `at bar N beat M + D` or `after D` lies; refuses what is not inside its bar."""
    if not place.counted:
        return place.offset
    if ruler.is_free:
        raise no_bars("write `after 1/2`, or begin with a rest")
    if place.bar == 0 and not ruler.pickup:
        raise Refusal(
            "P111", "there is no bar 0 without a pickup", "", "bars count from 1; a pickup is given by `pickup 1/4`"
        )
    onset = ruler.onset(place.bar)
    length = ruler.pickup if place.bar == 0 else ruler.length(place.bar)
    meter = ruler.meter(max(1, place.bar))
    assert meter is not None
    inside = Fraction(place.beat - 1, meter.denominator) + place.offset
    if inside >= length:
        raise Refusal(
            "P112", f"bar {place.bar} has no such place", f"its meter is {meter}",
            f"beats run 1 to {meter.numerator}; a beat is the lower number of the meter",
        )
    return onset + inside


def _rest_to(bar: int, at: Fraction, ruler: Ruler) -> Fraction:
    if ruler.is_free:
        raise no_bars("give a duration, as `1/2 rest`")
    target = ruler.onset(max(1, bar))
    if bar < 1 or target < at:
        raise Refusal(
            "P106", f"the line is already past the beginning of bar {bar}", f"here it stands in bar {ruler.bar_at(at)}",
            "rest to a later bar, or let the line begin earlier",
        )
    return target


def _extended(item: PlannedItem, ruler: Ruler, at: Fraction, section_end: Fraction | None) -> Music:
    match item.repeat:
        case None:
            return item.value
        case t.Times(count, _):
            return repeated(item.value, count)
        case t.ForLength(length, _):
            return filling(item.value, ruler.span(length, at))
        case t.Held(length=t.Bars() | Fraction() as length):
            return sustained(item.value, ruler.span(length, at))
        case t.UntilEnd() | t.Held():
            assert section_end is not None
            if section_end <= at:
                raise Refusal(
                    "P107", "nothing is left of the section", "`until end` has no room", "let it begin earlier"
                )
            fill = sustained if isinstance(item.repeat, t.Held) else filling
            return fill(item.value, section_end - at)


def repeated(value: Music, count: int) -> Music:
    """The value so many times."""
    match value:
        case Motif(events):
            bounded(len(events) * count)
            return _again(value, count)
        case Rhythm(beats):
            bounded(len(beats) * count)
            return Rhythm(beats * count)
        case Texture(lines):
            bounded(sum(len(line.events) for line in lines) * count)
            length = value.duration
            return Texture(tuple(_again(padded(line, length), count) for line in lines))


def filling(value: Music, length: Fraction) -> Music:
    """The value again and again, cut to the length."""
    match value:
        case Motif():
            return _cut(value, length)
        case Rhythm(beats):
            line = _cut(Motif(tuple(Event(b.duration) for b in beats)), length)
            return Rhythm(
                tuple(replace(beats[i % len(beats)], duration=e.duration) for i, e in enumerate(line.events))
            )
        case Texture(lines):
            return Texture(tuple(_cut(padded(line, value.duration), length) for line in lines))


def sustained(value: Music, length: Fraction) -> Music:
    """One note or chord, in each line of a texture, for that length; refuses anything else."""
    lines = value.lines if isinstance(value, Texture) else (value,)
    for line in lines:
        if size(line) != 1:
            raise Refusal(
                "P810", "`held` sustains one note or chord", f"{size(line)} notes, chords and rests",
                "`for` repeats and cuts, `lengthened last to` gives one note another duration",
            )
    match value:
        case Motif(events):
            return Motif((events[0].lasting(length),))
        case Rhythm(beats):
            return Rhythm((replace(beats[0], duration=length),))
        case Texture():
            return value.with_lines(tuple(Motif((line.events[0].lasting(length),)) for line in value.lines))


def held_against_itself(item: PlannedItem) -> str:
    """The sign by which a single note that is held through a span wants to be short; empty if it has none."""
    value = item.value
    if not isinstance(item.repeat, t.Held) or not isinstance(value, Motif) or len(value.events) != 1:
        return ""
    (event,) = value.events
    return next((name for name in event.marks.articulations if name in _SHORT), "")


def _cut(motif: Motif, length: Fraction) -> Motif:
    if motif.duration <= 0:
        raise Refusal("P113", "an empty value cannot fill anything", "", "give it at least one note")
    return padded(cut_at(_again(motif, turns_to_fill(motif, length)), length), length)


def _again(motif: Motif, times: int) -> Motif:
    """The line so many times. Its words stand the first time only, and so does its dynamic if it has just one, unless a
    row over bars brings another one between.

    Of attacks each is a note's own; one that leaves a dynamic in force makes the line's own dynamic needed again.
    """
    marks = [event.marks for event in motif.events]
    changes = any(m.hairpin or m.attack in AFTERWARD for m in marks)
    steady = len({m.dynamic for m in marks if m.dynamic}) == 1 and not changes
    later = motif.events
    if steady or any(m.words for m in marks):
        later = tuple(
            replace(e, marks=_later(e.marks, steady)) if e.marks else e for e in motif.events
        )
    return Motif(motif.events + later * (times - 1))


def _later(marks: Marks, steady: bool) -> Marks:
    """The marks on a later turn."""
    return replace(marks, words=(), dynamic="", again=marks.dynamic) if steady else replace(marks, words=())
